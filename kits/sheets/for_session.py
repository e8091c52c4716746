"""The sheets of one session: its plan, and its tool count."""

from __future__ import annotations

from django.utils import timezone
from django.utils.formats import date_format

from kits.models import Session
from kits.services.session_plan import SessionNow
from kits.services.tool_counts import CountLine, ToolsNow
from kits.sheets.content import Heading
from kits.sheets.content.session_plan import SessionLevel, SessionPlan, session_plan
from kits.sheets.content.tool_count import CountRow, ToolCountSheet, TrayRows, tool_count_sheet

__all__ = ["session_plan_for", "tool_count_for"]


def session_plan_for(now: SessionNow) -> SessionPlan:
    """The plan of one session."""
    session, workshop = now.session, now.session.workshop
    levels = [SessionLevel(one.revision.project.title, one.kits, one.here, one.next) for one in now.levels]
    return session_plan(
        Heading(workshop.title, workshop=workshop.title),
        levels,
        day=date_format(session.date, "l, j F Y"),
        number=now.number,
        of=now.of,
        minutes=session.minutes,
        set_out_minutes=workshop.set_out_minutes,
        count_back_minutes=workshop.count_back_minutes,
        set_out=now.set_out,
        note=session.note,
        starts=session.starts,
    )


def tool_count_for(session: Session, now: ToolsNow) -> ToolCountSheet:
    """The count of one session as it stands; what was not counted yet is blank."""
    closed = ""
    if now.closed and now.closing is not None:
        closed = date_format(timezone.localtime(now.closing.at), "j F Y, H:i")
    trays = [
        TrayRows(
            tray.tray.name,
            tuple(_row(line, out=bool(tray.out), back=closed != "" or tray.came_back) for line in tray.lines),
        )
        for tray in now.trays
    ]
    return tool_count_sheet(
        Heading(session.workshop.title, workshop=session.workshop.title),
        trays,
        day=_day(session),
        closed=closed,
        short=now.closing.short if closed and now.closing else 0,
        reason=now.reason if closed else "",
    )


def _day(session: Session) -> str:
    """Short where the clock comes after it, since it stands in the foot of the page too."""
    if session.clock:
        return f"{date_format(session.date, 'D, j M Y')}, {session.clock}"
    return date_format(session.date, "l, j F Y")


def _row(line: CountLine, *, out: bool, back: bool) -> CountRow:
    return CountRow(
        line.kind.name,
        line.kind.usual,
        line.out if out else None,
        line.back if back else None,
        line.kind.in_objects,
        tuple(number for _kit, number in line.homes),
    )
