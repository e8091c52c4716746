"""Setting a workshop up, and adding kits to it."""

from __future__ import annotations

import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max

from kits.models import Kit, Session, Workshop
from kits.services.plan_stages import planned_stages
from kits.services.tool_setup import usual_tools
from projects.models import Revision

__all__ = ["add_kits", "create_workshop"]


def create_workshop(
    owner: User, title: str, place: str, revision: Revision, kits: int, date: datetime.date, minutes: int
) -> Workshop:
    """A workshop with one session and that many kits of a published revision, each with a code of its own."""
    with transaction.atomic():
        workshop = Workshop.objects.create(owner=owner, title=title, place=place)
        Session.objects.create(workshop=workshop, date=date, minutes=minutes)
        add_kits(workshop, revision, kits)
        usual_tools(workshop, kits)
    return workshop


def add_kits(workshop: Workshop, revision: Revision, count: int) -> list[Kit]:
    """That many more kits, numbered on from the last."""
    stages = planned_stages(revision.read())
    with transaction.atomic():
        last = workshop.kits.aggregate(last=Max("number"))["last"] or 0
        numbers = range(last + 1, last + 1 + count)
        return Kit.objects.bulk_create(
            Kit(workshop=workshop, number=number, revision=revision, stages=stages) for number in numbers
        )
