"""The cells of an object in words, for those who take it home."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from checks.findings import Report
from projects.circuit.catalogue import part_types_of
from projects.circuit.part_types import Cell
from projects.circuit.project import Project
from projects.circuit.text import Message, msg

__all__ = ["CellRow", "cell_rows", "hours_words"]


@dataclass(frozen=True)
class CellRow:
    """A kind of cell holder in the object: how many, its refs, its volts, milliamp hours."""

    name: str
    count: int
    refs: tuple[str, ...]
    volts: str
    mah: str


def cell_rows(project: Project) -> tuple[CellRow, ...]:
    """The cells of a project by kind, in the order of its parts."""
    found = {ref: kind for ref, kind in part_types_of(project).items() if isinstance(kind.model, Cell)}
    counts = Counter(kind.type for kind in found.values())
    rows = {}
    for kind in found.values():
        assert isinstance(kind.model, Cell)
        refs = tuple(ref for ref, one in found.items() if one.type == kind.type)
        volts, mah = f"{kind.model.volts:g}", f"{kind.model.mah:g}"
        rows[kind.type] = CellRow(kind.name, counts[kind.type], refs, volts, mah)
    return tuple(rows.values())


def hours_words(report: Report) -> Message | None:
    """How long a new battery lasts at most with everything on; None where nothing draws current."""
    hours = [one.hours for one in report.situations if one.cell == "fresh" and one.hours is not None]
    if not hours:
        return None
    least = min(hours)
    figure = f"{least:.0f}" if least >= 3 else f"{least:.1f}"
    return msg("A new battery lasts at most {hours} hours with everything on.", hours=figure)
