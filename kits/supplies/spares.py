"""How many spare parts a class needs, from the share that is lost or broken."""

from __future__ import annotations

from bisect import bisect_left

from scipy.stats import binom

__all__ = ["spares"]


def spares(needed: int, loss: float, sure: float = 0.95) -> int:
    """The least s with P(Binomial(needed + s, 1 − loss) ≥ needed) ≥ sure.

    Each part is lost or found broken by itself, with chance `loss`. Raises ValueError unless `needed` is 0 or more,
    0 ≤ loss < 1 and 0 < sure < 1.

    >>> spares(10, 0.05), spares(0, 0.05), spares(30, 0.05)
    (2, 0, 4)
    """
    if needed < 0 or not 0 <= loss < 1 or not 0 < sure < 1:
        raise ValueError("Spares need 0 or more parts, a loss from 0 up to 1, and a sureness between 0 and 1.")
    if needed == 0:
        return 0

    def enough(spare: int) -> bool:
        return bool(binom.sf(needed - 1, needed + spare, 1 - loss) >= sure)

    most = 1
    while not enough(most):
        most *= 2
    return bisect_left(range(most), True, key=enough)
