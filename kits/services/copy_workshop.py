"""Setting a class up like last term's: the same kits, sessions, trays and plan; nobody's name."""

from __future__ import annotations

import datetime

from django.contrib.auth.models import User
from django.db import transaction

from kits.models import Kit, Session, SessionGoal, Workshop
from kits.services.plan_stages import planned_stages
from kits.services.tool_setup import copy_tools
from projects.models import Revision

__all__ = ["copy_workshop"]


def copy_workshop(source: Workshop, owner: User, title: str, first_day: datetime.date) -> Workshop:
    """A new workshop of this owner with kits of the newest published revision of each project, and new codes.

    Sessions keep their distance in days from the first one. Layouts, names, progress and helpers are not copied.
    """
    with transaction.atomic():
        copy = Workshop.objects.create(
            owner=owner,
            title=title,
            place=source.place,
            set_out_minutes=source.set_out_minutes,
            count_back_minutes=source.count_back_minutes,
            layout_minutes=source.layout_minutes,
            habits=source.habits,
        )
        revisions = _kits(source, copy)
        _sessions(source, copy, first_day, revisions)
        copy_tools(source, copy)
    return copy


def _kits(source: Workshop, copy: Workshop) -> dict[int, Revision]:
    """Make the kits; the revisions in place of the old ones, by the old one's id."""
    newest: dict[int, Revision] = {}
    stages = {}
    kits = []
    for kit in source.kits.select_related("revision").defer("document", "layout").order_by("number"):
        if kit.revision_id not in newest:
            published = Revision.objects.published().filter(project=kit.revision.project_id)
            newest[kit.revision_id] = published.order_by("-number").first() or kit.revision
            stages[kit.revision_id] = planned_stages(newest[kit.revision_id].read())
        revision = newest[kit.revision_id]
        kits.append(
            Kit(
                workshop=copy,
                number=kit.number,
                revision=revision,
                stages=stages[kit.revision_id],
                spare=kit.spare,
                table=kit.table,
            )
        )
    Kit.objects.bulk_create(kits)
    return newest


def _sessions(source: Workshop, copy: Workshop, first_day: datetime.date, revisions: dict[int, Revision]) -> None:
    sessions = list(source.sessions.prefetch_related("goals").order_by("date", "pk"))
    for session in sessions:
        day = first_day + (session.date - sessions[0].date)
        made = Session.objects.create(workshop=copy, date=day, minutes=session.minutes, starts=session.starts)
        SessionGoal.objects.bulk_create(
            SessionGoal(session=made, revision=revisions[goal.revision_id], stage=goal.stage)
            for goal in session.goals.all()
            if goal.revision_id in revisions
        )
    if not sessions:
        Session.objects.create(workshop=copy, date=first_day)
