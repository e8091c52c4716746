"""Findings with numbers, and the drawings that carry the same numbers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from django.utils.safestring import SafeString, mark_safe

from checks.findings import Finding, Level
from kits.services.reports import NEVER_LET_PASS, Judged, still_to_do
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.layout import Side
from projects.drawing import Mark, Overlay, Style, draw
from projects.said import say

__all__ = ["Picture", "Shown", "ShownFinding", "pictures", "show"]


NOTE: Level = "note"


@dataclass(frozen=True)
class ShownFinding:
    """A finding with its number on the drawing and, where a teacher let it pass, the reason."""

    number: str
    finding: Finding
    reason: str | None

    @property
    def words(self) -> str:
        """What was found, in the reader's language."""
        return say(self.finding.text)

    @property
    def may_pass(self) -> bool:
        return self.finding.level == "stop" and self.finding.rule not in NEVER_LET_PASS


@dataclass(frozen=True)
class Picture:
    """One side of one piece, drawn."""

    piece: str
    side: Side
    svg: SafeString


@dataclass(frozen=True)
class Shown:
    """What a page shows of a judged layout.

    `to_do` is what a learner who is laying out has still to do; empty for a layout handed in, where it counts
    among `faults`. Drawings are made when they are asked for: a save answers with marks alone.
    """

    judged: Judged
    faults: tuple[ShownFinding, ...]
    to_do: tuple[ShownFinding, ...]
    laying_out: bool

    @property
    def crashed(self) -> tuple[str, ...]:
        """Names of rules that failed, so that the report is not complete."""
        return self.judged.report.crashed

    @property
    def marks(self) -> tuple[Mark, ...]:
        """A mark at each place of each finding; what is still to do is no fault, and marked as a note."""
        kinds = [*((one, one.finding.level) for one in self.faults), *((one, NOTE) for one in self.to_do)]
        return tuple(Mark(spot, kind, one.number, one.words) for one, kind in kinds for spot in one.finding.at)

    @cached_property
    def pictures(self) -> tuple[Picture, ...]:
        """The drawings, with the marks."""
        return pictures(lay_out(self.judged.document), Overlay(marks=self.marks), guides=self.laying_out)

    @property
    def stops(self) -> int:
        """How many stops stand."""
        standing = (shown for shown in (*self.faults, *self.to_do) if shown.reason is None)
        return sum(shown.finding.level == "stop" for shown in standing)


def show(judged: Judged, *, laying_out: bool = False) -> Shown:
    """Numbers for the findings, in the order of the report."""
    shown = [
        ShownFinding(str(number), finding, judged.passed.get(finding.key) if judged.is_passed(finding) else None)
        for number, finding in enumerate(judged.report.findings, start=1)
    ]
    to_do = [one for one in shown if laying_out and still_to_do(one.finding)]
    faults = [one for one in shown if one not in to_do]
    return Shown(judged, tuple(faults), tuple(to_do), laying_out)


def pictures(laid_out: LaidOut, overlay: Overlay | None = None, *, guides: bool = False) -> tuple[Picture, ...]:
    """The outside of each piece; its inside too where a part lies there."""
    overlay, style = overlay or Overlay(), Style(say=say, guides=guides)
    inside = {body.piece for body in laid_out.bodies if body.side == "inside"}
    sides: list[tuple[str, Side]] = []
    for piece in laid_out.pieces:
        sides.append((piece, "outside"))
        if piece in inside:
            sides.append((piece, "inside"))
    # The drawing is built as an element tree that escapes every text; nothing in it is raw.
    return tuple(
        Picture(piece, side, mark_safe(draw(laid_out, piece=piece, side=side, overlay=overlay, style=style)))
        for piece, side in sides
    )
