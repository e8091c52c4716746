"""Who asks, and what is theirs. Every object that a view touches comes from here.

What is not theirs and what does not exist look the same: both raise Http404.

- *nobody*: signed in as no one. Views send them to a sign-in page before anything is looked up.
- *learner*: joined with a kit's code; sees that kit, changes its layout, and nothing else.
- *teacher*: a user; everything of their own projects and workshops. The same user is a *helper* in workshops
  of others that name them: they see board, kits and submissions there, answer calls for help, give looks. A
  *cover teacher* may do the same in a workshop on the one day that they cover, and holds its class that day: says
  who is there, does what the board does to many kits at once, ticks stages, counts the tools.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import Literal

from django.contrib.auth.models import User
from django.db.models import JSONField, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import JSONObject
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from kits.models import Event, Kit, Learner, Photo, Session, StockItem, Submission, Workshop
from kits.models.workshop import covered_today
from kits.pace.values import SessionHours
from kits.services.learner_session import joined
from projects.models import Project

__all__ = [
    "Person",
    "WorkshopNow",
    "helper_of",
    "kit_for",
    "kit_held_by",
    "kit_seen_by",
    "kit_taught",
    "learner_for",
    "may_hold",
    "person_of",
    "photo_seen_by",
    "project_for",
    "project_seen_by",
    "session_counted_by",
    "session_for",
    "stock_item_for",
    "submission_seen_by",
    "workshop_for",
    "workshop_held_by",
    "workshop_seen_by",
]


@dataclass(frozen=True)
class Person:
    """Who asks: a user, a kit with perhaps one of its learners, or nobody."""

    user: User | None = None
    kit: Kit | None = None
    learner: Learner | None = None

    @property
    def kind(self) -> Literal["nobody", "learner", "teacher"]:
        if self.user is not None:
            return "teacher"
        return "learner" if self.kit is not None else "nobody"

    @property
    def signs(self) -> dict[str, User | Learner | None]:
        """Who did it, as events and submissions keep it."""
        return {"user": self.user, "learner": self.learner}


def person_of(request: HttpRequest) -> Person:
    """Who sent this request; a user before a learner, should a browser ever be both."""
    if request.user.is_authenticated:
        return Person(user=request.user)
    kit, learner = joined(request)
    return Person(kit=kit, learner=learner)


def _user(person: Person) -> User:
    """The user who asks; Http404 for all others."""
    if person.user is None:
        raise Http404
    return person.user


def _kit_of(workshops: QuerySet[Workshop], kit_id: int) -> Kit:
    kits = Kit.objects.select_related("workshop", "revision__project")
    return get_object_or_404(kits, pk=kit_id, workshop__in=workshops)


def project_for(person: Person, project_id: int) -> Project:
    """A project that this person may see and change."""
    return get_object_or_404(Project.objects.open_to(_user(person)), pk=project_id)


def project_seen_by(person: Person, project_id: int) -> Project:
    """A project that this person may see: their own, or one that is shared with them."""
    return get_object_or_404(Project.objects.seen_by(_user(person)), pk=project_id)


def workshop_for(person: Person, workshop_id: int) -> Workshop:
    """A workshop that this person teaches."""
    return get_object_or_404(Workshop.objects.taught_by(_user(person)), pk=workshop_id)


def workshop_held_by(person: Person, workshop_id: int) -> Workshop:
    """A workshop that this person teaches, or covers today."""
    return get_object_or_404(Workshop.objects.held_by(_user(person)), pk=workshop_id)


def session_for(person: Person, session_id: int) -> Session:
    """A session of a workshop that this person teaches."""
    taught = Session.objects.select_related("workshop").filter(workshop__owner=_user(person))
    return get_object_or_404(taught, pk=session_id)


def session_counted_by(person: Person, session_id: int) -> Session:
    """A session whose tools this person may count: of their own workshop, or today's of one that they cover today."""
    covered = Q(covered_today(_user(person), "workshop_id"), date=timezone.localdate())
    counted = Session.objects.select_related("workshop").filter(Q(workshop__owner=_user(person)) | covered)
    return get_object_or_404(counted, pk=session_id)


def learner_for(person: Person, learner_id: int) -> Learner:
    """A learner of a workshop that this person teaches."""
    taught = Learner.objects.select_related("workshop").filter(workshop__owner=_user(person))
    return get_object_or_404(taught, pk=learner_id)


def stock_item_for(person: Person, item_id: int) -> StockItem:
    """A thing in this person's own cupboard."""
    return get_object_or_404(StockItem.objects.of(_user(person)), pk=item_id)


@dataclass(frozen=True)
class WorkshopNow:
    """A workshop with the id of its newest event, the day of its next session (today included), and cover today.

    `hours`: how long that session is, and when it starts.
    """

    workshop: Workshop
    newest_event: int | None
    next_day: date | None
    covers: bool = False
    hours: SessionHours | None = None


def workshop_seen_by(person: Person, workshop_id: int) -> WorkshopNow:
    """A workshop that this person teaches, helps in or covers today; one query."""
    events = Event.objects.filter(workshop=OuterRef("pk")).order_by("-pk").values("pk")[:1]
    to_come = Session.objects.filter(workshop=OuterRef("pk"), date__gte=timezone.localdate())
    staffed = Workshop.objects.staffed_by(_user(person))
    # All of the session in one part of the query: every tablet asks this every few seconds.
    session = to_come.values(of=JSONObject(day="date", minutes="minutes", starts="starts"))[:1]
    more = {
        "newest": Subquery(events),
        "session": Subquery(session, output_field=JSONField()),
        "covers_now": covered_today(_user(person)),
    }
    found = get_object_or_404(staffed.annotate(**more), pk=workshop_id)
    # The checker does not follow annotations through a query set of our own.
    extra = vars(found)
    day, hours = None, None
    if (next_one := extra["session"]) is not None:
        starts = next_one["starts"]
        hours = SessionHours(next_one["minutes"], time.fromisoformat(starts) if starts else None)
        day = date.fromisoformat(next_one["day"])
    return WorkshopNow(found, extra["newest"], day, extra["covers_now"], hours)


def kit_for(person: Person, kit_id: int) -> Kit:
    """A kit whose layout this person may change: the learner's own, or one of the teacher's workshops."""
    if person.kit is not None and person.user is None:
        if person.kit.pk != kit_id:
            raise Http404
        return person.kit
    return kit_taught(person, kit_id)


def kit_taught(person: Person, kit_id: int) -> Kit:
    """A kit of a workshop that this person teaches."""
    return _kit_of(Workshop.objects.taught_by(_user(person)), kit_id)


def kit_held_by(person: Person, kit_id: int) -> Kit:
    """A kit of a workshop that this person teaches, or covers today."""
    return _kit_of(Workshop.objects.held_by(_user(person)), kit_id)


def kit_seen_by(person: Person, kit_id: int) -> Kit:
    """A kit that this person may look at: the learner's own, or one of a workshop they teach or help in."""
    if person.user is None:
        return kit_for(person, kit_id)
    return _kit_of(Workshop.objects.staffed_by(person.user), kit_id)


def submission_seen_by(person: Person, submission_id: int) -> Submission:
    """A submission of a kit that this person may look at."""
    submissions = Submission.objects.select_related("kit__workshop", "kit__revision__project", "learner", "user")
    if person.user is not None:
        submissions = submissions.filter(kit__workshop__in=Workshop.objects.staffed_by(person.user))
    elif person.kit is not None:
        submissions = submissions.filter(kit=person.kit)
    else:
        raise Http404
    found: Submission = get_object_or_404(submissions, pk=submission_id)
    return found


def photo_seen_by(person: Person, photo_id: int) -> Photo:
    """A photo of a kit that this person may look at."""
    kits = Kit.objects.filter(pk=person.kit.pk if person.kit is not None else 0)
    if person.user is not None:
        kits = Kit.objects.filter(workshop__in=Workshop.objects.staffed_by(person.user))
    return get_object_or_404(Photo.objects.select_related("kit"), pk=photo_id, kit__in=kits)


def may_hold(person: Person, workshop: Workshop) -> bool:
    """Whether this person teaches the workshop, or covers it today; no query for its teacher."""
    return person.user is not None and (
        workshop.owner_id == person.user.pk or Workshop.objects.held_by(person.user).filter(pk=workshop.pk).exists()
    )


def helper_of(person: Person, workshop: Workshop) -> bool:
    """Whether this person only helps in the workshop, so that a page offers no more than a helper may do."""
    return person.user is not None and workshop.owner_id != person.user.pk
