"""The page for parents: what the object is, its cells, what it is made of, and what is kept of their child."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from checks.findings import Report
from kits.plan.values import Plan
from kits.sheets.content.cells import CellRow, cell_rows, hours_words
from kits.sheets.content.lengths import spoken_metres
from kits.sheets.content.values import NO_WORDS, Heading, SchoolWords, Sheet, Units
from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.our_names import called
from projects.circuit.text import Message, msg

__all__ = ["ParentPage", "parent_page"]


@dataclass(frozen=True)
class ParentPage(Sheet):
    """All that stands on a parent page; `parts` are counts and names, `thread` a length, `minutes` of work."""

    parts: tuple[Message, ...]
    supplies: tuple[Message, ...]
    thread: str
    minutes: int
    cells: tuple[CellRow, ...]
    hours: Message | None
    school: SchoolWords


def parent_page(
    document: Document,
    plan: Plan,
    report: Report,
    *,
    heading: Heading,
    units: Units = "cm",
    school: SchoolWords = NO_WORDS,
) -> ParentPage:
    """The page for the parents of those who make one kit."""
    counts = Counter(kind.name for kind in part_types_of(document.project).values())
    return ParentPage(
        heading=heading,
        parts=tuple(msg("{count} × {name}", count=count, name=called(name)) for name, count in counts.items()),
        supplies=tuple(called(one.name) for one in document.project.supplies if one.per == "kit"),
        thread=spoken_metres(sum(run.cut_mm for run in plan.runs), units) if plan.runs else "",
        minutes=10 * math.ceil(plan.minutes / 10),
        cells=cell_rows(document.project),
        hours=hours_words(report),
        school=school,
    )
