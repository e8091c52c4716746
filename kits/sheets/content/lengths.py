"""Lengths as people read them on paper: centimetres or inches, thread always rounded up."""

from __future__ import annotations

import math

from kits.sheets.content.values import Units

__all__ = ["MM_PER_INCH", "cut_length", "spoken_metres", "step_mm"]

MM_PER_INCH = 25.4
"""Exact by definition (international yard and pound agreement of 1959)."""

_QUARTERS = ("", "¼", "½", "¾")
_SLACK = 1e-6  # mm: a computed length that is whole but for rounding is not rounded up again


def step_mm(units: Units) -> float:
    """To what a cut length is rounded up, mm: one centimetre, or a quarter of an inch."""
    return 10.0 if units == "cm" else MM_PER_INCH / 4


def cut_length(length_mm: float, units: Units = "cm") -> str:
    """A length to cut, rounded up to the next centimetre or quarter inch.

    >>> cut_length(401.2), cut_length(400.0), cut_length(401.2, "inch")
    ('41 cm', '40 cm', '16 in')
    >>> cut_length(410, "inch")
    '16¼ in'
    """
    steps = math.ceil((length_mm - _SLACK) / step_mm(units))
    if units == "cm":
        return f"{steps} cm"
    whole, quarters = divmod(steps, 4)
    return f"{whole or ''}{_QUARTERS[quarters]} in" if quarters else f"{whole} in"


def spoken_metres(length_mm: float, units: Units = "cm") -> str:
    """A long length, rounded up: metres to a tenth, or yards to a quarter.

    >>> spoken_metres(3141), spoken_metres(3141, "inch")
    ('3.2 m', '3½ yd')
    """
    if units == "cm":
        return f"{math.ceil((length_mm - _SLACK) / 100) / 10:g} m"
    whole, quarters = divmod(math.ceil((length_mm - _SLACK) / (36 * MM_PER_INCH / 4)), 4)
    return f"{whole or ''}{_QUARTERS[quarters]} yd" if quarters else f"{whole} yd"
