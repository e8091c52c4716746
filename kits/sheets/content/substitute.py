"""The page for a substitute: who is where, what is next, what to count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kits.progress import Phase
from kits.sheets.content.values import NO_WORDS, Heading, SchoolWords, Sheet
from projects.circuit.text import Message, msg

__all__ = ["CellCount", "KitNow", "NowRow", "SubstitutePage", "now_row", "substitute_page"]


TOOLS = (msg("Needles"), msg("Scissors"), msg("Seam rippers"), msg("Meters"))


@dataclass(frozen=True)
class KitNow:
    """Where one kit stands. `stage`: the title of the stage it is at; `waits`: whether that waits for a look."""

    number: int
    names: tuple[str, ...]
    left_handed: tuple[str, ...]
    spare: bool
    phase: Phase
    stage: str = ""
    waits: bool = False
    reason: str = ""
    help_about: str | None = None


@dataclass(frozen=True)
class CellCount:
    """How many cells of one kind the kits hold together."""

    name: str
    count: int


@dataclass(frozen=True)
class NowRow:
    """One kit on paper."""

    number: int
    names: str
    left_handed: str
    where: Message
    next: Message
    calls: bool


@dataclass(frozen=True)
class SubstitutePage(Sheet):
    """All that stands on the page for a substitute."""

    rows: tuple[NowRow, ...]
    spares: tuple[int, ...]
    cells: tuple[CellCount, ...]
    tools: tuple[Message, ...]
    waiting: int
    calling: int
    school: SchoolWords
    made_at: str
    set_out_minutes: int
    count_back_minutes: int


def substitute_page(
    heading: Heading,
    kits: Sequence[KitNow],
    cells: Sequence[CellCount],
    *,
    made_at: str,
    set_out_minutes: int,
    count_back_minutes: int,
    school: SchoolWords = NO_WORDS,
) -> SubstitutePage:
    """The page of one class as it stands now; `made_at` is when, in words."""
    rows = tuple(now_row(kit) for kit in kits if kit.names or not kit.spare)
    return SubstitutePage(
        heading=heading,
        rows=rows,
        spares=tuple(kit.number for kit in kits if kit.spare and not kit.names),
        cells=tuple(cells),
        tools=TOOLS,
        waiting=sum(kit.phase == "handed-in" or kit.waits for kit in kits),
        calling=sum(row.calls for row in rows),
        school=school,
        made_at=made_at,
        set_out_minutes=set_out_minutes,
        count_back_minutes=count_back_minutes,
    )


def now_row(kit: KitNow) -> NowRow:
    """Where one kit stands and what comes next, in words."""
    where, following = _standing(kit)
    return NowRow(
        kit.number, ", ".join(kit.names), ", ".join(kit.left_handed), where, following, kit.help_about is not None
    )


def _standing(kit: KitNow) -> tuple[Message, Message]:
    """Where the kit stands, and what comes next."""
    if kit.phase == "not-begun":
        return msg("not begun"), msg("Place the parts, draw the lines.")
    if kit.phase == "laying-out":
        return msg("plans the layout"), msg("Finish the plan, then hand it in.")
    if kit.phase == "handed-in":
        return msg("layout handed in"), msg("You look at the layout before any needle.")
    if kit.phase == "sent-back":
        return msg("layout sent back"), msg("Put this right: {reason}", reason=kit.reason or "–")
    if kit.phase == "finished":
        return msg("finished"), msg("Count the battery: back, or home in the object.")
    if kit.waits:
        return msg("waits: {stage}", stage=kit.stage), msg("You look at this stage before the next.")
    if kit.reason:
        return msg("{stage}", stage=kit.stage), msg("Put this right: {reason}", reason=kit.reason)
    return msg("{stage}", stage=kit.stage), msg("Go on with the step sheet.")
