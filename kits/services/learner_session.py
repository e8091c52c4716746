"""A learner's sign-in: which kit, and who of those who make it. Ends with the day."""

from __future__ import annotations

import hmac
from datetime import datetime, time, timedelta

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from kits.models import Kit, Learner

__all__ = ["end", "joined", "start"]

_KEY = "joined"


def start(request: HttpRequest, kit: Kit, learner: Learner | None) -> None:
    """Sign this browser in to a kit until midnight.

    Whoever was signed in before is signed out first: a tablet handed to a child must not stay a teacher's.
    """
    request.session.flush()
    request.session[_KEY] = {"kit": kit.pk, "learner": learner.pk if learner else None, "seal": _seal(kit)}
    request.session.set_expiry(_end_of_day())


def end(request: HttpRequest) -> None:
    """Sign the learner out; nothing of the session stays."""
    request.session.flush()


def joined(request: HttpRequest) -> tuple[Kit | None, Learner | None]:
    """The kit and learner of this browser; neither if the code was replaced or the learner has left the kit."""
    kept = request.session.get(_KEY)
    if not kept:
        return None, None
    kit = Kit.objects.select_related("workshop", "revision__project").filter(pk=kept["kit"]).first()
    if kit is None or not hmac.compare_digest(_seal(kit), kept["seal"]):
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
