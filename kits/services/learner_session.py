"""A learner's sign-in: which kit, and who of those who make it. Ends with the day, or before if the teacher says so."""

from __future__ import annotations

import hmac
from datetime import datetime, time, timedelta

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from kits.models import Kit, Learner, Workshop

__all__ = ["end", "joined", "sign_all_out", "start", "switch"]

_KEY = "joined"


def start(request: HttpRequest, kit: Kit, learner: Learner | None) -> None:
    """Sign this browser in to a kit until midnight.

    Whoever was signed in before is signed out first: a tablet handed to a child must not stay a teacher's.
    """
    request.session.flush()
    since = timezone.now().timestamp()
    request.session[_KEY] = {
        "kit": kit.pk,
        "learner": learner.pk if learner else None,
        "seal": _seal(kit),
        "since": since,
    }
    request.session.set_expiry(_end_of_day())


def switch(request: HttpRequest, learner: Learner) -> None:
    """Another of those who make the same kit holds the tablet now; the sign-in ends when it would have."""
    request.session[_KEY] = {**request.session[_KEY], "learner": learner.pk}


def sign_all_out(workshop: Workshop) -> None:
    """End the sign-in of every learner of a class, on every tablet."""
    workshop.learners_out_at = timezone.now()
    workshop.save(update_fields=["learners_out_at"])


def end(request: HttpRequest) -> None:
    """Sign the learner out; nothing of the session stays."""
    request.session.flush()


def joined(request: HttpRequest) -> tuple[Kit | None, Learner | None]:
    """The kit and learner of this browser; neither where that has ended.

    It ends when the code is replaced, the learner leaves the kit, or the teacher signs all tablets out.
    """
    kept = request.session.get(_KEY)
    if not kept:
        return None, None
    kit = Kit.objects.select_related("workshop", "revision__project").filter(pk=kept["kit"]).first()
    if kit is None or not hmac.compare_digest(_seal(kit), kept["seal"]):
        return None, None
    out_at = kit.workshop.learners_out_at
    if out_at is not None and kept.get("since", 0.0) < out_at.timestamp():
        return None, None
    if kept["learner"] is None:
        return kit, None
    learner = kit.learners.filter(pk=kept["learner"]).first()
    return (kit, learner) if learner else (None, None)


def _seal(kit: Kit) -> str:
    """Changes with the kit's code, so that a replaced code ends what it opened."""
    return salted_hmac("kits.learner_session", kit.code, secret=settings.SECRET_KEY, algorithm="sha256").hexdigest()


def _end_of_day() -> datetime:
    tomorrow = timezone.localdate() + timedelta(days=1)
    return timezone.make_aware(datetime.combine(tomorrow, time.min))
