"""Kit codes: what a label carries and a learner types.

Twelve of the 32 signs of Crockford's base 32 (digits and letters without I, L, O, U): 60 bits. What a
child mixes up reads the same: O as 0, I and L as 1, small letters as capitals.
"""

from __future__ import annotations

import secrets

__all__ = ["CODE_LENGTH", "grouped", "is_code", "new_code", "normalised"]

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 12
_GROUP = 4
_LOOKALIKES = str.maketrans({"O": "0", "I": "1", "L": "1", " ": None, "-": None, "–": None, "·": None, ".": None})


def new_code() -> str:
    """A fresh code of 60 random bits."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


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
    """
    return "-".join(code[at : at + _GROUP] for at in range(0, len(code), _GROUP))


def is_code(text: str) -> bool:
    """Whether it could be a code at all; what could not is never looked up."""
    return len(text) == CODE_LENGTH and set(text) <= set(ALPHABET)
