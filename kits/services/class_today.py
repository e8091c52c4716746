"""What a cover teacher needs on the day: who is where, what is next, what to count."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils import timezone

from kits.models import SchoolNotes, Session, Workshop
from kits.services.board import Board, BoardRow, read_board
from kits.services.session_plan import SessionNow, plan_sessions
from kits.services.tool_counts import ToolsNow, read_tools
from kits.sheets.content.substitute import KitNow, NowRow, now_row

__all__ = ["ClassToday", "read_class_today"]


@dataclass(frozen=True)
class ClassToday:
    """The class as it is; `session` and `tools` are today's, None on a day without one."""

    board: Board
    rows: tuple[tuple[BoardRow, NowRow], ...]
    session: SessionNow | None
    tools: ToolsNow | None
    school: SchoolNotes | None

    @property
    def held(self) -> Session | None:
        return self.session.session if self.session else None


def read_class_today(workshop: Workshop) -> ClassToday:
    """The class of today; the same number of queries whatever its size."""
    board = read_board(workshop)
    today = timezone.localdate()
    session = next((one for one in plan_sessions(workshop, with_reached=False) if one.session.date == today), None)
    rows = tuple((row, now_row(_kit_now(board, row))) for row in board.rows if row.names or not row.kit.spare)
    return ClassToday(
        board,
        rows,
        session,
        read_tools(session.session) if session else None,
        SchoolNotes.objects.filter(owner_id=workshop.owner_id).first(),
    )


def _kit_now(board: Board, row: BoardRow) -> KitNow:
    state = row.state
    return KitNow(
        number=row.kit.number,
        names=tuple(name for name in row.names if name),
        left_handed=(),
        spare=row.kit.spare,
        phase=state.phase,
        stage=board.title(state.waiting_for_look or state.current or ""),
        waits=state.waiting_for_look is not None,
        reason=state.reason,
        help_about=state.help_about if state.help_since is not None else None,
    )
