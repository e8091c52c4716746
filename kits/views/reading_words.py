"""Readings in words: a value with its unit, and what was expected."""

from __future__ import annotations

from django.utils.translation import gettext as _

from kits.plan.values import Reading

__all__ = ["expected_words", "reading_words"]


def reading_words(kind: str, value: float | None) -> str:
    """A value in ohms or volts, three figures; None for open.

    >>> reading_words("ohms", 2345.0), reading_words("volts", 2.913), reading_words("ohms", 3.26)
    ('2.35 kΩ', '2.91 V', '3.26 Ω')
    """
    if value is None:
        return _("open (OL)")
    if kind == "volts":
        return f"{value:.2f} V"
    for size, unit in ((1e6, "MΩ"), (1e3, "kΩ")):
        if abs(value) >= size:
            return f"{value / size:.3g} {unit}"
    return f"{value:.3g} Ω"


def expected_words(reading: Reading) -> str:
    """What a sound kit shows: from to, or at least."""
    low = reading_words(reading.kind, reading.min)
    if reading.max is None:
        return _("open, or at least {low}").format(low=low)
    return _("{low} to {high}").format(low=low, high=reading_words(reading.kind, reading.max))
