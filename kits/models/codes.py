"""Kit codes: what a label carries and a learner types.

Twelve of the 32 signs of Crockford's base 32 (digits and letters without I, L, O, U): 60 bits. What a
child mixes up reads the same: O as 0, I and L as 1, small letters as capitals.
"""

from __future__ import annotations

import secrets

__all__ = ["CODE_LENGTH", "grouped", "is_code", "is_short_code", "new_code", "new_short_code", "normalised"]

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 12
SHORT_LENGTH = 6
_GROUP = 4
_SHORT_GROUP = 3
_LOOKALIKES = str.maketrans({"O": "0", "I": "1", "L": "1", " ": None, "-": None, "–": None, "·": None, ".": None})


def new_code() -> str:
    """A fresh code of 60 random bits."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def new_short_code() -> str:
    """A fresh code of 30 random bits, for two minutes and one use."""
    return "".join(secrets.choice(ALPHABET) for _ in range(SHORT_LENGTH))


def normalised(typed: str) -> str:
    """What was typed, as a code is stored; may still be no code at all.

    >>> normalised(" k7mo-3pxl 9qrd ")
    'K7M03PX19QRD'
    """
    return "".join(typed.split()).upper().translate(_LOOKALIKES)


def grouped(code: str) -> str:
    """The code as labels and screens show it.

    >>> grouped("K7M03PX19QRD")
    'K7M0-3PX1-9QRD'
    >>> grouped("K7M03P")
    'K7M-03P'
    """
    group = _SHORT_GROUP if len(code) == SHORT_LENGTH else _GROUP
    return "-".join(code[at : at + group] for at in range(0, len(code), group))


def is_code(text: str) -> bool:
    """Whether it could be a code at all; what could not is never looked up."""
    return len(text) == CODE_LENGTH and set(text) <= set(ALPHABET)


def is_short_code(text: str) -> bool:
    """Whether it could be a short code."""
    return len(text) == SHORT_LENGTH and set(text) <= set(ALPHABET)
