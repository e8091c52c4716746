"""Loading the demo into an empty site, and taking just the demo out again."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import groupby

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils import timezone

from kits.demo.class_day import second_session, tell_class_day
from kits.demo.club import HELPER, KITS, LEFT_HANDED, MINUTES, PLACE, TEACHER, TITLE, Account
from kits.demo.examples import examples
from kits.demo.stock import fill_cupboard, reserve_for_session
from kits.demo.story import STORY, Moment, Staff
from kits.models import Event, Kit, StockMovement, Submission, Workshop
from kits.services.access import Person
from kits.services.create_workshop import add_kits, create_workshop
from kits.services.publish import publish
from kits.services.roster import add_learners, assign_learners
from projects.importing import import_project
from projects.models import Project, Revision

__all__ = ["DemoRefused", "is_empty", "load", "remove"]


class DemoRefused(Exception):
    """The demo cannot be loaded or removed; the message says why, and what to do."""


def is_empty() -> bool:
    """Whether the site has neither users nor projects, so that a demo can disturb nothing."""
    return not User.objects.exists() and not Project.objects.exists()


def load() -> Workshop:
    """Load the demo and return its workshop. Raises DemoRefused on a site that is in use."""
    with transaction.atomic():
        if not is_empty():
            raise DemoRefused("The demo goes only into an empty site, and this one has users or projects.")
        teacher, helper = _account(TEACHER), _account(HELPER)
        revisions = {name: publish(import_project(teacher, document)) for name, document in examples().items()}
        workshop = _workshop(teacher, revisions)
        workshop.helpers.add(helper)
        second_session(workshop)
        _stock(workshop)
        _tell(workshop, Staff(Person(user=teacher), Person(user=helper)))
        tell_class_day(workshop, teacher)
    return workshop


def remove() -> bool:
    """Delete the demo and return whether there was one; what else its accounts own stays, and the accounts with it.

    Raises DemoRefused if a workshop of somebody's own uses a project of the demo.
    """
    with transaction.atomic():
        users = User.objects.filter(username__in=[TEACHER.username, HELPER.username])
        teacher = users.filter(username=TEACHER.username)
        Workshop.objects.filter(owner__in=teacher, title=TITLE).delete()
        titles = [document.project.title for document in examples().values()]
        demo_projects = Project.objects.filter(owner__in=teacher, title__in=titles)
        users_of_them = Workshop.objects.filter(kits__revision__project__in=demo_projects).distinct()
        if used := ", ".join(workshop.title for workshop in users_of_them):
            raise DemoRefused(
                f"These workshops use a project of the demo: {used}. Delete them first, or keep the demo."
            )
        projects_gone, _ = demo_projects.delete()
        users_gone, _ = users.filter(workshops=None, projects=None).delete()
    return bool(projects_gone or users_gone)


def _account(account: Account) -> User:
    return User.objects.create_user(account.username, password=account.password, first_name=account.first_name)


def _workshop(teacher: User, revisions: dict[str, Revision]) -> Workshop:
    """The workshop with its kits in the order of KITS, each with its learners."""
    first, *others = [(name, len(list(kits))) for name, kits in groupby(kit.project for kit in KITS)]
    today = timezone.localdate()
    workshop = create_workshop(teacher, TITLE, PLACE, revisions[first[0]], first[1], today, MINUTES)
    for name, count in others:
        add_kits(workshop, revisions[name], count)
    kit_of_name = {name: number for number, kit in enumerate(KITS, 1) for name in kit.learners}
    add_learners(workshop, list(kit_of_name))
    learners = {learner.display_name: learner for learner in workshop.learners.all()}
    kits = {kit.number: kit for kit in workshop.kits.all()}
    assign_learners(
        workshop,
        {learner: kits[kit_of_name[name]] for name, learner in learners.items()},
        {learners[name].pk for name in LEFT_HANDED},
    )
    return workshop


def _stock(workshop: Workshop) -> None:
    """The cupboard is filled a week before the session, and what there is set aside on the eve of it."""
    for days, act in ((7, fill_cupboard), (1, reserve_for_session)):
        before = _last(StockMovement)
        act(workshop)
        QuerySet(StockMovement).filter(pk__gt=before).update(at=timezone.now() - timedelta(days=days))


def _tell(workshop: Workshop, staff: Staff) -> None:
    """Let the story happen, in the order of time."""
    now = timezone.now()
    for moment in sorted(STORY, key=lambda moment: -moment.minutes_ago):
        kit = workshop.kits.select_related("revision", "workshop").get(number=moment.kit)
        _happen(moment, kit, staff, now - timedelta(minutes=moment.minutes_ago))


def _happen(moment: Moment, kit: Kit, staff: Staff, at: datetime) -> None:
    before = [_last(Event), _last(Submission), _last(StockMovement)]
    moment.act(kit, staff)
    # Services know no time but now, and what they log is never changed. Only here, before anyone has seen it,
    # is it set back, past the managers that refuse to.
    QuerySet(Event).filter(kit=kit, pk__gt=before[0]).update(at=at)
    QuerySet(Submission).filter(kit=kit, pk__gt=before[1]).update(handed_in_at=at)
    QuerySet(StockMovement).filter(kit=kit, pk__gt=before[2]).update(at=at)


def _last(model: type[Event] | type[Submission] | type[StockMovement]) -> int:
    last: int | None = model.objects.aggregate(last=Max("pk"))["last"]
    return last or 0
