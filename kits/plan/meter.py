"""The ranges of a common hand-held meter of 2,000 counts, and how far off it may be.

Common practice, no published source: ranges of 200 ohm to 2 megohm and of 2 to 200 volts, the highest digit shown is
1,999 of 2,000, and a sound meter is within 1 % of the value and 2 of its last digit.
"""

from __future__ import annotations

from typing import Literal

__all__ = ["MeterKind", "meter_error", "meter_range"]

MeterKind = Literal["ohms", "volts"]

_RANGES: dict[MeterKind, tuple[tuple[float, str], ...]] = {
    "ohms": ((200.0, "200"), (2e3, "2 k"), (20e3, "20 k"), (200e3, "200 k"), (2e6, "2 M")),
    "volts": ((2.0, "2"), (20.0, "20"), (200.0, "200")),
}
_HIGHEST = 1999 / 2000
_COUNTS = 2000
_ERROR_SHARE = 0.01
_ERROR_DIGITS = 2


def meter_range(kind: MeterKind, most: float) -> tuple[float, str]:
    """The smallest range (its top in ohms or volts, its name) that shows `most`; the largest where none does.

    >>> meter_range("ohms", 5.3), meter_range("volts", 2.0)
    ((200.0, '200'), (20.0, '20'))
    """
    ranges = _RANGES[kind]
    return next(((top, name) for top, name in ranges if abs(most) <= top * _HIGHEST), ranges[-1])


def meter_error(kind: MeterKind, value: float, most: float) -> float:
    """How far from the truth `value` may be (ohms or volts) on the range that is set for `most`.

    >>> round(meter_error("ohms", 5.0, 6.0), 3), round(meter_error("volts", 3.0, 3.3), 3)
    (0.25, 0.05)
    """
    top, _ = meter_range(kind, most)
    return _ERROR_SHARE * abs(value) + _ERROR_DIGITS * top / _COUNTS
