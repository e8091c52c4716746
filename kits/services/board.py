"""What the class board shows, in three queries however large the class is."""

from __future__ import annotations

from dataclasses import dataclass

from kits.models import Kit, Workshop
from kits.progress import KitState, StageRow
from kits.services.states import stage_rows, states_of_kits

__all__ = ["Board", "BoardCell", "BoardRow", "read_board"]


@dataclass(frozen=True)
class BoardCell:
    """One stage of one kit; `state` is empty where the kit has no such stage."""

    stage: StageRow
    state: str


@dataclass(frozen=True)
class BoardRow:
    """One kit: who makes it, how far it is, a cell a column."""

    kit: Kit
    names: tuple[str, ...]
    state: KitState
    cells: tuple[BoardCell, ...]


@dataclass(frozen=True)
class Board:
    """The class at a glance. `stages` are the columns; `waiting` the calls for help, longest wait first."""

    stages: tuple[StageRow, ...]
    rows: tuple[BoardRow, ...]

    @property
    def waiting(self) -> list[BoardRow]:
        called = [row for row in self.rows if row.state.help_since is not None]
        return sorted(called, key=lambda row: (str(row.state.help_since), row.kit.number))

    @property
    def to_look_at(self) -> list[BoardRow]:
        """Kits that wait for a teacher's or helper's look: a layout handed in, a stage that ends with a look."""
        return [row for row in self.rows if row.state.phase == "handed-in" or row.state.waiting_for_look]


def read_board(workshop: Workshop) -> Board:
    """The board of a workshop as it is now."""
    kits = list(workshop.kits.defer("document", "layout").prefetch_related("learners").order_by("number"))
    states = states_of_kits(kits)
    columns: dict[str, StageRow] = {}
    stages = {kit.pk: stage_rows(kit) for kit in kits}
    for rows in stages.values():
        for stage in rows:
            columns.setdefault(stage.name, stage)
    return Board(
        tuple(columns.values()),
        tuple(
            BoardRow(
                kit,
                tuple(learner.display_name for learner in kit.learners.all()),
                states[kit.pk],
                _cells(tuple(columns.values()), stages[kit.pk], states[kit.pk]),
            )
            for kit in kits
        ),
    )


def _cells(columns: tuple[StageRow, ...], own: tuple[StageRow, ...], state: KitState) -> tuple[BoardCell, ...]:
    mine = {stage.name: stage for stage in own}
    return tuple(
        BoardCell(column, state.of_stage(mine[column.name]) if column.name in mine else "") for column in columns
    )
