"""What the class board shows, in three queries however large the class is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from kits.models import Event, KitLearner, SessionGoal, Workshop
from kits.pace.values import SessionHours
from kits.plan.progress import Advance
from kits.progress import BOARD_KINDS, KitState, StageRow, StageState, Tick, state_of
from kits.services.class_pace import KitLog, KitPace, absent_now, class_day, paces
from kits.services.states import said_stages

__all__ = ["Board", "BoardKit", "BoardLearner", "BoardRow", "read_board"]

_AWAY = {str(Event.Kind.ABSENT): True, str(Event.Kind.PRESENT): False}
_FIELDS = ("kit_id", "kind", "stage", "at", "submission_id", "remark__text", "minutes", "learner_id")


@dataclass(frozen=True)
class BoardKit:
    """What a board needs to know of a kit."""

    pk: int
    number: int
    spare: bool
    table: str


@dataclass(frozen=True)
class BoardLearner:
    """One who makes a kit, and whether they are absent today."""

    pk: int
    name: str
    absent: bool


@dataclass(frozen=True)
class BoardRow:
    """One kit: who makes it and how far it is; a cell a column, None where the kit has no such stage."""

    kit: BoardKit
    learners: tuple[BoardLearner, ...]
    state: KitState
    pace: KitPace
    cells: tuple[StageState | None, ...]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(learner.name for learner in self.learners)

    @property
    def away(self) -> bool:
        """Nobody of the kit is there."""
        return bool(self.learners) and all(learner.absent for learner in self.learners)


@dataclass(frozen=True)
class Board:
    """The class at a glance. `stages` are the columns; `waiting` the calls for help, longest wait first."""

    stages: tuple[StageRow, ...]
    rows: tuple[BoardRow, ...]
    minutes_left: float | None = None

    @property
    def waiting(self) -> list[BoardRow]:
        called = [(row.state.help_since, row.kit.number, row) for row in self.rows if row.state.help_since is not None]
        return [row for _since, _number, row in sorted(called, key=lambda call: call[:2])]

    @property
    def to_look_at(self) -> list[BoardRow]:
        """Kits that wait for a teacher's or helper's look: a layout handed in, a stage that ends with a look."""
        return [row for row in self.rows if row.state.phase == "handed-in" or row.state.waiting_for_look]

    @property
    def stuck(self) -> list[BoardRow]:
        """Kits that have not moved on for twice the planned time, the longest first."""
        return sorted((row for row in self.rows if row.pace.stuck), key=lambda row: -row.pace.minutes_since)

    @property
    def tables(self) -> list[str]:
        """Tables that kits sit at, in order."""
        return sorted({row.kit.table for row in self.rows if row.kit.table})

    def title(self, stage: str) -> str:
        """The title of the stage with that name, or the name itself."""
        return next((row.title for row in self.stages if row.name == stage), stage)


def read_board(workshop: Workshop, hours: SessionHours | None = None) -> Board:
    """The board of a workshop as it is now; `hours` of today's session, None where there is none.

    Plain values, never whole models: a board is read by every tablet every few seconds.
    """
    goals = SessionGoal.objects.filter(session__workshop=workshop, session__date=timezone.localdate())
    goal = Subquery(goals.filter(revision=OuterRef("revision")).values("stage")[:1])
    fields = ("pk", "number", "spare", "table", "layout_saved_at", "stages")
    kits = list(workshop.kits.order_by("number").values_list(*fields, goal))
    stages = _stages({pk: stored for pk, *_, stored, _goal in kits})
    logs = {pk: KitLog(stored, goal, saved) for pk, *_, saved, stored, goal in kits}
    learners, ticks = _learners(workshop, logs), _read_log(workshop, logs)
    states = {pk: state_of(rows, ticks[pk]) for pk, rows in stages.items()}
    day = class_day(workshop, hours, (tick.at for told in ticks.values() for tick in told))
    pace = paces(workshop, day, logs, states)
    columns = {stage.name: stage for rows in stages.values() for stage in rows}
    rows = []
    for pk, number, spare, table, *_ in kits:
        own = {stage.name: states[pk].of_stage(stage) for stage in stages[pk]}
        cells = tuple(own.get(name) for name in columns)
        absent = absent_now(logs[pk])
        makers = tuple(BoardLearner(learner, name, learner in absent) for learner, name in learners[pk])
        rows.append(BoardRow(BoardKit(pk, number, spare, table), makers, states[pk], pace[pk], cells))
    return Board(tuple(columns.values()), tuple(rows), day.minutes_left)


def _read_log(workshop: Workshop, logs: Mapping[int, KitLog]) -> dict[int, list[Tick]]:
    """Events that say how far each kit is; what they say of its time goes into its log."""
    ticks: dict[int, list[Tick]] = defaultdict(list)
    events = Event.objects.filter(workshop=workshop, kind__in=(*BOARD_KINDS, *_AWAY)).order_by("pk")
    for kit_id, kind, stage, at, submission, text, minutes, learner in events.values_list(*_FIELDS):
        log = logs[kit_id]
        if kind in _AWAY:
            log.away.append((at, learner, _AWAY[kind]))
            continue
        if minutes:
            log.moves.append(Advance(at, stage, minutes))
        if kind == "accepted" and log.accepted_at is None:
            log.accepted_at = at
        ticks[kit_id].append(Tick(kind, stage, at, submission, text or ""))
    return ticks


def _stages(stored: dict[int, list[dict[str, Any]]]) -> dict[int, tuple[StageRow, ...]]:
    """Stages by kit; those of one project are said once, not once a kit."""
    said: list[tuple[list[dict[str, Any]], tuple[StageRow, ...]]] = []
    found: dict[int, tuple[StageRow, ...]] = {}
    for pk, rows in stored.items():
        known = next((stages for same, stages in said if same == rows), None)
        if known is None:
            known = said_stages(rows)
            said.append((rows, known))
        found[pk] = known
    return found


def _learners(workshop: Workshop, logs: Mapping[int, KitLog]) -> dict[int, list[tuple[int, str]]]:
    found: dict[int, list[tuple[int, str]]] = defaultdict(list)
    pairs = KitLearner.objects.filter(kit__workshop=workshop).order_by("learner__display_name", "learner_id")
    for kit_id, learner, name in pairs.values_list("kit_id", "learner_id", "learner__display_name"):
        found[kit_id].append((learner, name))
        logs[kit_id].learners.append(learner)
    return found
