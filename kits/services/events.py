"""Writing the log: the one place where an event is made."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.models import User

from kits.models import Event, Kit, Learner, Remark, Submission

__all__ = ["log"]


def log(
    kit: Kit,
    kind: Event.Kind,
    signs: dict[str, User | Learner | None],
    *,
    stage: str = "",
    step: str = "",
    minutes: float | None = None,
    payload: dict[str, Any] | None = None,
    submission: Submission | None = None,
    text: str = "",
) -> Event:
    """Add an event; what was written goes beside it, so that it can be blanked later."""
    event = Event.objects.create(
        workshop_id=kit.workshop_id,
        kit=kit,
        kind=kind,
        stage=stage,
        step=step,
        minutes=minutes,
        payload=payload or {},
        submission=submission,
        **signs,
    )
    if text:
        Remark.objects.create(event=event, text=text[:300])
    return event
