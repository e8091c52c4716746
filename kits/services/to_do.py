"""What waits for a teacher or helper, over all their workshops."""

from __future__ import annotations

from datetime import timedelta

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef
from django.utils import timezone

from kits.models import Event, Submission, Workshop

__all__ = ["RECENT", "waiting_submissions"]

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
