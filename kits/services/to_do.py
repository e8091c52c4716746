"""What waits for a teacher or helper, over all their workshops."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef
from django.utils import timezone

from kits.models import Event, Kit, Submission, Workshop
from kits.services.states import said_stages, states_of

__all__ = ["RECENT", "LookDue", "looks_due", "waiting_submissions"]

RECENT = timedelta(days=120)
"""What was handed in before that belongs to a class that is over."""


def waiting_submissions(user: User) -> list[Submission]:
    """Layouts handed in and not decided on, oldest first; only the newest of a kit."""
    decisions = (Event.Kind.ACCEPTED, Event.Kind.SENT_BACK, Event.Kind.LAYOUT_GIVEN)
    decided = Event.objects.filter(submission=OuterRef("pk"), kind__in=decisions)
    newer = Submission.objects.filter(kit=OuterRef("kit"), number__gt=OuterRef("number"))
    staffed = Workshop.objects.staffed_by(user)
    waiting = Submission.objects.filter(kit__workshop__in=staffed, handed_in_at__gte=timezone.now() - RECENT)
    waiting = waiting.exclude(Exists(decided)).exclude(Exists(newer))
    fields = waiting.defer("document", "report", "kit__document", "kit__layout")
    return list(fields.select_related("kit__workshop").prefetch_related("kit__learners").order_by("handed_in_at"))


@dataclass(frozen=True)
class LookDue:
    """A kit that waits for a look at a stage, or for help (`stage` is empty then)."""

    kit_id: int
    number: int
    workshop: str
    stage: str


def looks_due(workshops: Collection[Workshop]) -> list[LookDue]:
    """Stages that wait for a look, and calls for help, in these workshops; two queries however many kits they have."""
    titles = {workshop.pk: workshop.title for workshop in workshops}
    kits = Kit.objects.filter(workshop__in=titles).order_by("workshop", "number")
    rows = list(kits.values_list("pk", "number", "workshop_id", "stages")) if titles else []
    stages = {pk: said_stages(stored) for pk, _number, _workshop, stored in rows}
    states = states_of(stages) if stages else {}
    found = []
    for pk, number, workshop_id, _stored in rows:
        state = states[pk]
        if state.help_since is not None:
            found.append(LookDue(pk, number, titles[workshop_id], ""))
        if state.waiting_for_look is not None:
            title = next((one.title for one in stages[pk] if one.name == state.waiting_for_look), "")
            found.append(LookDue(pk, number, titles[workshop_id], title or state.waiting_for_look))
    return found
