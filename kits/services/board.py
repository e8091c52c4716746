"""What the class board shows, in three queries however large the class is."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from kits.models import KitLearner, Workshop
from kits.progress import KitState, StageRow, StageState
from kits.services.states import said_stages, states_of

__all__ = ["Board", "BoardKit", "BoardRow", "read_board"]


@dataclass(frozen=True)
class BoardKit:
    """What a board needs to know of a kit."""

    pk: int
    number: int
    spare: bool


@dataclass(frozen=True)
class BoardRow:
    """One kit: who makes it and how far it is; a cell a column, None where the kit has no such stage."""

    kit: BoardKit
    names: tuple[str, ...]
    state: KitState
    cells: tuple[StageState | None, ...]


@dataclass(frozen=True)
class Board:
    """The class at a glance. `stages` are the columns; `waiting` the calls for help, longest wait first."""

    stages: tuple[StageRow, ...]
    rows: tuple[BoardRow, ...]

    @property
    def waiting(self) -> list[BoardRow]:
        called = [(row.state.help_since, row.kit.number, row) for row in self.rows if row.state.help_since is not None]
        return [row for _since, _number, row in sorted(called, key=lambda call: call[:2])]

    @property
    def to_look_at(self) -> list[BoardRow]:
        """Kits that wait for a teacher's or helper's look: a layout handed in, a stage that ends with a look."""
        return [row for row in self.rows if row.state.phase == "handed-in" or row.state.waiting_for_look]

    def title(self, stage: str) -> str:
        """The title of the stage with that name, or the name itself."""
        return next((row.title for row in self.stages if row.name == stage), stage)


def read_board(workshop: Workshop) -> Board:
    """The board of a workshop as it is now.

    Plain values, never whole models: a board is read by every tablet every few seconds.
    """
    kits = list(workshop.kits.order_by("number").values_list("pk", "number", "spare", "stages"))
    stages = _stages({pk: stored for pk, _number, _spare, stored in kits})
    columns = {stage.name: stage for rows in stages.values() for stage in rows}
    states, names = states_of(stages), _names(workshop)
    rows = []
    for pk, number, spare, _stored in kits:
        own = {stage.name: states[pk].of_stage(stage) for stage in stages[pk]}
        cells = tuple(own.get(name) for name in columns)
        rows.append(BoardRow(BoardKit(pk, number, spare), tuple(names[pk]), states[pk], cells))
    return Board(tuple(columns.values()), tuple(rows))


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


def _names(workshop: Workshop) -> dict[int, list[str]]:
    names: dict[int, list[str]] = defaultdict(list)
    pairs = KitLearner.objects.filter(kit__workshop=workshop).order_by("learner__display_name", "learner_id")
    for kit_id, name in pairs.values_list("kit_id", "learner__display_name"):
        names[kit_id].append(name)
    return names
