"""Lengths inside sentences, for people who measure in inches."""

from __future__ import annotations

import re
from fractions import Fraction

from kits.sheets.content.lengths import MM_PER_INCH
from kits.sheets.content.values import Units

__all__ = ["in_units", "inches"]

_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\u00a0?\s?(mm|cm)\b")
_MM = {"mm": 1.0, "cm": 10.0}


def inches(length_mm: float) -> str:
    """A length to the nearest sixteenth of an inch, as a tape measure shows it; never nothing.

    >>> inches(40), inches(25.4), inches(5), inches(0.2)
    ('1 9/16 in', '1 in', '3/16 in', '1/16 in')
    """
    sixteenths = max(1, round(length_mm / MM_PER_INCH * 16))
    whole, rest = divmod(sixteenths, 16)
    part = str(Fraction(rest, 16)) if rest else ""
    return " ".join(word for word in (str(whole) if whole else "", part, "in") if word)


def in_units(text: str, units: Units) -> str:
    """The text with each length in mm or cm said in inches, if those are the units.

    The signs of units are the same in every language, so this goes by the finished text.

    >>> in_units("Its middle is 4.0 cm from the left. Leave at most 3 mm.", "inch")
    'Its middle is 1 9/16 in from the left. Leave at most 1/8 in.'
    >>> in_units("Make each stitch 5 mm long.", "cm")
    'Make each stitch 5 mm long.'
    """
    if units == "cm":
        return text
    return _LENGTH.sub(lambda found: inches(float(found[1]) * _MM[found[2]]), text)
