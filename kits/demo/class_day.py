"""The rest of the demo's class: its second session, tools counted part-way, and the marks of who has finished."""

from __future__ import annotations

from datetime import timedelta

from django.contrib.auth.models import User
from django.utils import timezone

from kits.demo.club import MINUTES
from kits.models import Mark, Session, SessionGoal, ToolTray, Workshop
from kits.services.marks import marks_of, save_marks
from kits.services.tool_counts import cell_home, count_tray, read_tools

__all__ = ["FINISHED_KIT", "second_session", "tell_class_day"]

FINISHED_KIT = 9
"""The kit that is done: its cell went home in the object."""

_KITS_A_TABLE = 4
_GOAL = "positive side"
_BACK_AT_TABLE_1 = {"Needles": 3, "Scissors": 2, "Meters": 1}
_MARKS = (Mark.Level.ALONE, Mark.Level.BEYOND, Mark.Level.WITH_HELP, Mark.Level.ALONE)
_COMMENT = "Found the loose stitch at the switch with the meter, all alone. Next time: sew the second light, too."


def second_session(workshop: Workshop) -> Session:
    """The class meets again in a week, since not everything fits into one session."""
    return Session.objects.create(workshop=workshop, date=timezone.localdate() + timedelta(days=7), minutes=MINUTES)


def tell_class_day(workshop: Workshop, teacher: User) -> None:
    """Three tables were set out; the first begins to count back. Kit 9 is finished, marked, and its cell is home.

    Today's goal is the positive side.
    """
    ToolTray.objects.get_or_create(workshop=workshop, name="Table 3", defaults={"order": 3})
    session = workshop.sessions.get(date=timezone.localdate())
    session.workshop = workshop
    for tray in read_tools(session).trays:
        count_tray(session, tray.tray, "out", {line.kind.pk: line.kind.usual for line in tray.lines}, teacher)
    first, *_others, last = (tray.tray for tray in read_tools(session).trays)
    kinds = {kind.name: kind for kind in workshop.tool_kinds.all()}
    back = {kind.pk: _BACK_AT_TABLE_1[name] for name, kind in kinds.items() if name in _BACK_AT_TABLE_1}
    count_tray(session, first, "back", back, teacher)
    kit = workshop.kits.get(number=FINISHED_KIT)
    cells = next(kind for kind in kinds.values() if kind.in_objects)
    cell_home(session, last, cells, kit, teacher)
    _mark(workshop, teacher)
    _who_sits_where(workshop)
    for revision in {kit.revision_id for kit in workshop.kits.all()}:
        SessionGoal.objects.create(session=session, revision_id=revision, stage=_GOAL)


def _who_sits_where(workshop: Workshop) -> None:
    """Four kits a table."""
    for kit in workshop.kits.all():
        kit.table = str((kit.number - 1) // _KITS_A_TABLE + 1)
        kit.save(update_fields=["table"])


def _mark(workshop: Workshop, teacher: User) -> None:
    (level,) = marks_of(workshop, only=workshop.kits.get(number=FINISHED_KIT))
    for row in level.rows:
        save_marks(row.kit, row.learner, dict(zip(level.criteria, _MARKS, strict=False)), _COMMENT, teacher)
