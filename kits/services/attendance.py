"""Who is there today. Only what is out of the ordinary is logged: nobody is absent until someone says so."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from kits.models import Event, Kit, Learner
from kits.services.access import Person
from kits.services.events import log

__all__ = ["absent_today", "set_absent"]

_KINDS = (Event.Kind.ABSENT, Event.Kind.PRESENT)


def set_absent(kit: Kit, learner: Learner, absent: bool, person: Person) -> None:
    """A learner of the kit is not there today, or is after all."""
    with transaction.atomic():
        if (learner.pk in absent_today(kit)) != absent:
            kind = Event.Kind.ABSENT if absent else Event.Kind.PRESENT
            log(kit, kind, {"user": person.user, "learner": learner})


def absent_today(kit: Kit) -> set[int]:
    """Ids of those of the kit who are not there today."""
    absent: set[int] = set()
    events = kit.events.filter(kind__in=_KINDS, at__date=timezone.localdate()).order_by("pk")
    for kind, learner in events.values_list("kind", "learner_id"):
        (absent.add if kind == Event.Kind.ABSENT else absent.discard)(learner)
    return absent
