"""The plan of one session on paper: its minutes, what to set out, the stages, and room for what was reached."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from kits.plan.sessions import StageTime
from kits.sheets.content.values import Heading, Sheet
from projects.circuit.text import Message, msg

__all__ = ["PlanRow", "SessionLevel", "SessionPlan", "session_plan"]


@dataclass(frozen=True)
class SessionLevel:
    """The kits of one project: their numbers, this session's stages, and the stage that is begun but not ended."""

    title: str
    kits: tuple[int, ...]
    stages: tuple[StageTime, ...]
    begun: StageTime | None


@dataclass(frozen=True)
class PlanRow:
    """A part of the session: from and to which minute, and what is done; `stage` for a stage, to tick.

    `clock`: the same by the clock, empty where nobody has said when the session starts.
    """

    begin: int
    end: int
    what: Message
    stage: bool = False
    clock: str = ""


@dataclass(frozen=True)
class LevelRows:
    """The rows of one project."""

    title: str
    kits: str
    rows: tuple[PlanRow, ...]
    begun: Message | None
    goal: Message | None


@dataclass(frozen=True)
class SessionPlan(Sheet):
    """All that stands on a session plan. `over`: minutes planned beyond the time there is, 0 if it fits."""

    day: str
    number: int
    of: int
    minutes: int
    set_out_minutes: int
    count_back_minutes: int
    set_out: tuple[Message, ...]
    levels: tuple[LevelRows, ...]
    over: int
    note: str
    clock: str = ""


def session_plan(
    heading: Heading,
    levels: Sequence[SessionLevel],
    *,
    day: str,
    number: int,
    of: int,
    minutes: int,
    set_out_minutes: int,
    count_back_minutes: int,
    set_out: Sequence[Message],
    note: str = "",
    starts: time | None = None,
) -> SessionPlan:
    """The plan of session `number` of `of`, `minutes` long with setting out and counting back, from `starts` on."""
    sewing = max(0, minutes - set_out_minutes - count_back_minutes)
    planned = max((sum(stage.minutes for stage in level.stages) for level in levels), default=0.0)
    return SessionPlan(
        heading=heading,
        day=day,
        number=number,
        of=of,
        minutes=minutes,
        set_out_minutes=set_out_minutes,
        count_back_minutes=count_back_minutes,
        set_out=tuple(set_out),
        levels=tuple(_rows(level, set_out_minutes, set_out_minutes + sewing, starts) for level in levels),
        over=max(0, round(planned - sewing)),
        note=note,
        clock=_clock(starts, 0, minutes),
    )


def _rows(level: SessionLevel, begin: int, end: int, starts: time | None) -> LevelRows:
    at = float(begin)
    rows = []
    for stage in level.stages:
        until = round(at + stage.minutes)
        rows.append(PlanRow(round(at), until, stage.title, stage=True, clock=_clock(starts, round(at), until)))
        at += stage.minutes
    begun = None
    if level.begun is not None and round(at) < end:
        what = msg("Begin: {stage}", stage=level.begun.title)
        rows.append(PlanRow(round(at), end, what, clock=_clock(starts, round(at), end)))
        begun = level.begun.title
    goal = level.stages[-1].title if level.stages else None
    return LevelRows(level.title, ", ".join(map(str, level.kits)), tuple(rows), begun, goal)


def _clock(starts: time | None, begin: int, end: int) -> str:
    """Minutes of a session by the clock.

    >>> _clock(time(15, 30), 10, 40), _clock(None, 10, 40)
    ('15:40 – 16:10', '')
    """
    if starts is None:
        return ""
    first = datetime.combine(datetime.min, starts)
    return f"{first + timedelta(minutes=begin):%H:%M} – {first + timedelta(minutes=end):%H:%M}"
