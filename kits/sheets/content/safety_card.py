"""The safety and care card that goes home with the object, two to a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from checks.findings import Report
from kits.plan.values import Plan
from kits.sheets.content.cells import CellRow, cell_rows, hours_words
from kits.sheets.content.meter import ReadingRow, reading_row
from kits.sheets.content.values import NO_WORDS, Heading, SchoolWords, Sheet
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.part_types import Switch
from projects.circuit.text import Message, msg

__all__ = ["Card", "SafetyCards", "card", "safety_cards"]

_MOST_READINGS = 3


@dataclass(frozen=True)
class Card:
    """One object's card: whose it is, its cells and how long they last, its switches, what to measure after a wash."""

    heading: Heading
    cells: tuple[CellRow, ...]
    hours: Message | None
    off: Message
    readings: tuple[ReadingRow, ...]


@dataclass(frozen=True)
class SafetyCards(Sheet):
    """Cards to cut apart."""

    cards: tuple[Card, ...]
    school: SchoolWords


def card(document: Document, plan: Plan, report: Report, *, heading: Heading) -> Card:
    """The card of one object; its readings are those of the test, taken with the battery out."""
    laid_out = lay_out(document)
    tests = {stage.name for stage in plan.stages if "test" in stage.kinds}
    dry = [one for one in plan.readings if one.kind == "ohms" and one.stage in tests]
    switches = [ref for ref, kind in laid_out.types.items() if isinstance(kind.model, Switch)]
    off = msg("Switch it off with {refs} when you put it away.", refs=", ".join(switches))
    if not switches:
        off = msg("It has no switch: take the battery out when you put it away.")
    return Card(
        heading=heading,
        cells=cell_rows(document.project),
        hours=hours_words(report),
        off=off,
        readings=tuple(reading_row(one, laid_out) for one in dry[:_MOST_READINGS]),
    )


def safety_cards(heading: Heading, cards: Sequence[Card], school: SchoolWords = NO_WORDS) -> SafetyCards:
    """Cards one after another; `heading` names the sheet, each card has its own."""
    return SafetyCards(heading, tuple(cards), school)
