"""Joining with a kit's code, and slowing guesses down.

A code has 60 random bits, so guessing is hopeless at any rate that a server answers; the limits make it
hopeless for someone who saw the beginning of a label, too. Only wrong codes count, so a class of 32 behind
one address joins at once:

- *per address*: 100 wrong codes in ten minutes, about three a head in a full class;
- *per beginning of a code* (its first four signs), whatever the address: 8 wrong codes in ten minutes. Then
  nobody joins with a code that begins so, not even with the right one, since an answer would tell it apart.

A short code from the board (30 random bits, two minutes, one use) is held to the same limits.

Kept are keyed digests of address and beginning, for ten minutes. Whether a code exists is told by nothing
but joining: a wrong code, a spare one and a replaced one get the same answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac

from kits.models import FailedTry, Kit
from kits.models.codes import is_code, is_short_code, normalised
from kits.services.short_codes import use_short_code

__all__ = ["PER_ADDRESS", "PER_BEGINNING", "WINDOW", "Answer", "try_code"]

WINDOW = timedelta(minutes=10)
PER_ADDRESS = 100
PER_BEGINNING = 8
_BEGINNING = 4


@dataclass(frozen=True)
class Answer:
    """What came of a code: the kit, or why there is none."""

    outcome: Literal["joined", "wrong", "wait"]
    kit: Kit | None = None


def try_code(typed: str, address: str) -> Answer:
    """The kit of the code that was typed, from this network address; a wrong one is counted."""
    code = normalised(typed)
    digests = _digest("address", address), _digest("beginning", code[:_BEGINNING])
    with transaction.atomic():
        FailedTry.objects.filter(at__lt=timezone.now() - WINDOW).delete()
        if _too_many(*digests):
            return Answer("wait")
        kit = _kit_of(code)
        if kit is None:
            FailedTry.objects.create(address=digests[0], beginning=digests[1])
            return Answer("wrong")
    return Answer("joined", kit)


def _kit_of(code: str) -> Kit | None:
    if is_short_code(code):
        return use_short_code(code)
    kits = Kit.objects.select_related("workshop", "revision__project")
    return kits.filter(code=code).first() if is_code(code) else None


def _too_many(address: str, beginning: str) -> bool:
    recent = FailedTry.objects.filter(at__gte=timezone.now() - WINDOW)
    return (
        recent.filter(beginning=beginning).count() >= PER_BEGINNING
        or recent.filter(address=address).count() >= PER_ADDRESS
    )


def _digest(what: str, value: str) -> str:
    return salted_hmac(f"kits.join.{what}", value, secret=settings.SECRET_KEY, algorithm="sha256").hexdigest()
