"""Helpers and cover teachers: asked by a code, so that nobody's user name is ever looked up."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from datetime import timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from kits.models import Cover, Invitation, Workshop
from kits.models.codes import is_code, normalised
from kits.services.layouts import NotNow

__all__ = ["KEPT", "Accepted", "accept_invitation", "invite", "let_go"]

KEPT = timedelta(days=14)
"""How long an invitation that nobody uses is good; one for a day, until that day is over."""


@dataclass(frozen=True)
class Accepted:
    """What came of a code: the workshop, and the day to cover, None for a helper."""

    workshop: Workshop
    day: datetime.date | None


def invite(workshop: Workshop, role: str, day: datetime.date | None) -> Invitation:
    """A code for one person to become a helper, or the cover teacher of `day`."""
    _forget_old()
    covers = role == Invitation.Role.COVER
    return Invitation.objects.create(workshop=workshop, role=role, day=day if covers else None)


def accept_invitation(typed: str, user: User) -> Accepted:
    """Take an invitation up. Raises NotNow for a code that is none, is used, or is over, with one and the same answer.

    A code has 60 random bits and works once, so it cannot be guessed.
    """
    code = normalised(typed)
    with transaction.atomic():
        _forget_old()
        open_ones = Invitation.objects.select_for_update(of=("self",)).select_related("workshop")
        found = open_ones.filter(code=code).first() if is_code(code) else None
        if found is None:
            raise NotNow(_("This code opens nothing. It may be used or over: ask for a new one."))
        if found.workshop.owner_id == user.pk:
            raise NotNow(_("This is your own workshop: give the code to whoever is to help."))
        if found.role == Invitation.Role.COVER and found.day is not None:
            Cover.objects.get_or_create(workshop=found.workshop, user=user, day=found.day)
        else:
            found.workshop.helpers.add(user)
        found.delete()
    return Accepted(found.workshop, found.day)


def let_go(workshop: Workshop, what: str, pk: int) -> None:
    """End what a helper or cover teacher may do here, or withdraw an invitation; by the id of its row."""
    if what == "helper":
        workshop.helpers.remove(*workshop.helpers.filter(pk=pk))
    elif what == "cover":
        workshop.covers.filter(pk=pk).delete()
    elif what == "invitation":
        workshop.invitations.filter(pk=pk).delete()


def _forget_old() -> None:
    Invitation.objects.filter(made_at__lt=timezone.now() - KEPT, day=None).delete()
    Invitation.objects.filter(day__lt=timezone.localdate()).delete()
