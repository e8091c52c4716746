"""The sheets of a whole class: labels for its kits, and the page for a substitute."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable

from django.utils import timezone
from django.utils.formats import date_format

from kits.models import Kit, KitLearner, Workshop
from kits.services.board import Board, BoardRow, read_board
from kits.services.kit_needs import planned_document
from kits.sheets.content import (
    CellCount,
    Heading,
    KitLabel,
    KitNow,
    LabelGrid,
    LabelSheet,
    SchoolWords,
    SubstitutePage,
    label_sheet,
    substitute_page,
)
from kits.sheets.content.cells import cell_rows
from kits.sheets.content.labels import qr_svg

__all__ = ["labels_for", "substitute_page_for"]


def labels_for(
    workshop: Workshop, kits: Iterable[Kit], grid: LabelGrid, start: int, address_of: dict[int, str]
) -> LabelSheet:
    """Labels of these kits; `address_of` gives, by the kit's id, where its QR leads."""
    labels = [
        KitLabel(
            number=str(kit.number),
            names=" + ".join(one.display_name for one in kit.learners.all() if one.display_name),
            project=kit.revision.project.title,
            code=kit.shown_code,
            qr=qr_svg(address_of[kit.pk]),
        )
        for kit in kits
    ]
    return label_sheet(Heading(workshop.title, workshop=workshop.title), labels, grid, start)


def substitute_page_for(workshop: Workshop, school: SchoolWords) -> SubstitutePage:
    """The page for whoever takes this class next, as it stands now."""
    left = _left_handed(workshop)
    board = read_board(workshop)
    kits = [_now(board, row, left[row.kit.pk]) for row in board.rows]
    when = date_format(timezone.localtime(), "j F Y, H:i")
    return substitute_page(
        Heading(workshop.title, workshop=workshop.title),
        kits,
        _cells(workshop),
        made_at=when,
        set_out_minutes=workshop.set_out_minutes,
        count_back_minutes=workshop.count_back_minutes,
        school=school,
    )


def _now(board: Board, row: BoardRow, left_handed: list[str]) -> KitNow:
    state = row.state
    return KitNow(
        number=row.kit.number,
        names=tuple(name for name in row.names if name),
        left_handed=tuple(left_handed),
        spare=row.kit.spare,
        phase=state.phase,
        stage=board.title(state.waiting_for_look or state.current or ""),
        waits=state.waiting_for_look is not None,
        reason=state.reason,
        help_about=state.help_about if state.help_since is not None else None,
    )


def _left_handed(workshop: Workshop) -> dict[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    pairs = KitLearner.objects.filter(kit__workshop=workshop, learner__left_handed=True)
    for kit_id, name in pairs.values_list("kit_id", "learner__display_name"):
        found[kit_id].append(name)
    return found


def _cells(workshop: Workshop) -> list[CellCount]:
    """The cells of all kits, by kind of holder."""
    counts: Counter[str] = Counter()
    for kit in workshop.kits.select_related("revision"):
        for row in cell_rows(planned_document(kit).project):
            counts[row.name] += row.count
    return [CellCount(name, count) for name, count in counts.items()]
