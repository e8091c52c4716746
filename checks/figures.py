"""Figures as people read them: milliamps to two significant digits, volts to a tenth."""

from __future__ import annotations

from collections.abc import Callable, Iterator

__all__ = ["centimetres", "hours", "milliamps", "volts"]


def milliamps(amps: float, beside: float | None = None) -> str:
    """Amps as mA; with more digits where it would else read as the amps `beside` it do.

    >>> milliamps(0.0123), milliamps(0.1251), milliamps(0.02004, beside=0.02), milliamps(3e-9)
    ('12', '130', '20.04', '0')
    """
    return next(text for text in _ever_finer(amps * 1000, beside and beside * 1000, _significant))


def volts(value: float, beside: float | None = None) -> str:
    """Volts to a tenth, or finer where it would else read as the volts `beside` it do.

    >>> volts(2.94), volts(1.78, beside=1.8), volts(-0.001)
    ('2.9', '1.78', '0.0')
    """
    return next(text for text in _ever_finer(value, beside, _decimal))


def hours(value: float, beside: float | None = None) -> str:
    """Hours to two significant digits, or finer where it would else read as the hours `beside` it do.

    >>> hours(1.234), hours(130.4)
    ('1.2', '130')
    """
    return next(text for text in _ever_finer(value, beside, _significant))


def centimetres(mm: float, beside: float | None = None) -> str:
    """Millimetres as whole cm, or finer where it would else read as the mm `beside` it do.

    >>> centimetres(612), centimetres(601, beside=600)
    ('61', '60.1')
    """
    return next(text for text in _ever_finer(mm / 10, None if beside is None else beside / 10, _whole))


def _ever_finer(value: float, beside: float | None, said: Callable[[float, int], str]) -> Iterator[str]:
    """The value with as few digits as tell it from `beside`."""
    for finer in range(6):
        text = said(value, finer)
        if beside is None or value == beside or text != said(beside, finer):
            yield text
    yield said(value, 6)


def _significant(value: float, finer: int) -> str:
    if abs(value) < 5e-4:
        return "0"
    return f"{float(f'{value:.{2 + finer}g}'):.10f}".rstrip("0").rstrip(".")


def _decimal(value: float, finer: int) -> str:
    return f"{value:.{1 + finer}f}".replace("-0.0", "0.0") if abs(value) < 0.05 else f"{value:.{1 + finer}f}"


def _whole(value: float, finer: int) -> str:
    return f"{value:.{finer}f}"
