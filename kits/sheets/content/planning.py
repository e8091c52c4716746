"""The planning sheet: the empty fabric at true scale with a grid, parts to cut out, and what must be joined."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from xml.etree import ElementTree

from checks.findings import Report
from kits.plan.values import Plan
from kits.sheets.content.pictures import Picture, overlay, picture_of, pieces_in_use
from kits.sheets.content.placement import TiledPiece, tile_images, tiled_pieces
from kits.sheets.content.ruler import true_bar
from kits.sheets.content.step_sheet import Stop, stops_of
from kits.sheets.content.values import Heading, Sheet, Units
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.layout import Layout
from projects.circuit.text import Message, msg
from projects.drawing import connection_labels, draw, draw_part
from projects.drawing.style import Style

__all__ = ["CutOut", "PlanningSheet", "ToJoin", "planning_sheet"]

_PICTURE_HEIGHT_MM = 64.0


@dataclass(frozen=True)
class CutOut:
    """A part at true scale to cut out: its ref, its name, the picture and its size."""

    ref: str
    name: str
    svg: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class ToJoin:
    """One connection to draw: its label (+, − or a number), its name, and the metal holes that it joins."""

    label: str
    name: str
    ends: tuple[Message, ...]


@dataclass(frozen=True)
class PlanningSheet(Sheet):
    """All that stands on a planning sheet; `picture` is the kit's own plan so far, or the example (`example`)."""

    units: Units
    example: bool
    incomplete: bool
    left_handed: bool
    stops: tuple[Stop, ...]
    pieces: tuple[TiledPiece, ...]
    cut_outs: tuple[CutOut, ...]
    to_join: tuple[ToJoin, ...]
    rules: tuple[Message, ...]
    picture: Picture | None
    bar: str

    def images(self) -> Mapping[str, str]:
        parts = {f"part-{number}": cut_out.svg for number, cut_out in enumerate(self.cut_outs, 1)}
        drawing = {"drawing-1": self.picture.svg} if self.picture else {}
        return {"bar": self.bar, **tile_images(self.pieces), **parts, **drawing}


def planning_sheet(
    document: Document,
    plan: Plan,
    report: Report,
    *,
    heading: Heading,
    units: Units = "cm",
    example: bool = False,
    say: Callable[[Message], str] = str,
) -> PlanningSheet:
    """The planning sheet of a circuit; `document` holds the layout that is shown small, if it has one."""
    laid_out = lay_out(document)
    empty = lay_out(document.with_layout(Layout()))
    style = Style(grid=True, labels=False, greyscale=True, say=say)
    blank = {piece.name: draw(empty, piece=piece.name, style=style) for piece in document.project.pieces}
    return PlanningSheet(
        heading=heading,
        units=units,
        example=example,
        incomplete=not report.complete,
        left_handed=False,
        stops=stops_of(report, plan),
        pieces=tiled_pieces(blank, lambda name: msg("The empty {piece} at true size, with a grid.", piece=name)),
        cut_outs=tuple(_cut_outs(laid_out, say)),
        to_join=_to_join(laid_out),
        rules=tuple(_rules(laid_out)),
        picture=_picture(laid_out, plan, report, say, units),
        bar=true_bar(units),
    )


def _picture(
    laid_out: LaidOut, plan: Plan, report: Report, say: Callable[[Message], str], units: Units
) -> Picture | None:
    layout = laid_out.document.layout
    if not layout.places and not layout.lines:
        return None
    stops = [finding for finding in report.findings if finding.level == "stop"]
    marks = overlay(plan, stops, [line.name for line in layout.lines])
    return picture_of(laid_out, marks, pieces_in_use(laid_out)[0], say, units, _PICTURE_HEIGHT_MM)


def _cut_outs(laid_out: LaidOut, say: Callable[[Message], str]) -> Iterator[CutOut]:
    for part in laid_out.project.parts:
        part_type = laid_out.types[part.ref]
        svg = draw_part(part_type, style=Style(greyscale=True, say=say))
        root = ElementTree.fromstring(svg)
        width, height = (float(root.attrib[name].removesuffix("mm")) for name in ("width", "height"))
        yield CutOut(part.ref, part_type.name, svg, width, height)


def _to_join(laid_out: LaidOut) -> tuple[ToJoin, ...]:
    labels = connection_labels(laid_out.project)
    return tuple(
        ToJoin(labels[one.name], one.name, tuple({str(end): end for end in _ends(laid_out, one.terminals)}.values()))
        for one in laid_out.project.connections
        if len(one.terminals) > 1
    )


def _ends(laid_out: LaidOut, terminals: tuple[str, ...]) -> Iterator[Message]:
    for terminal in terminals:
        yield msg("{ref} ({label})", ref=terminal.partition(".")[0], label=laid_out.label(terminal))


def _rules(laid_out: LaidOut) -> Iterator[Message]:
    """What a plan on paper must keep, from this project's own values."""
    project = laid_out.project
    yield msg("Cut out the parts. Lay them on the fabric. Move and turn them until no lines need to cross.")
    yield msg("Then draw round each part. Draw each line with its sign beside it.")
    yield msg("Keep lines of two signs {mm} mm apart or more. They must not cross.", mm=f"{project.spacing:g}")
    allowance = max(piece.seam_allowance for piece in project.pieces)
    if allowance:
        yield msg("Stay inside the broken line. The outer {mm} mm are for the seam.", mm=f"{allowance:g}")
    bare = [part.ref for part in project.parts if laid_out.types[part.ref].no_sew]
    if bare:
        yield msg("No line may pass under {refs}.", refs=", ".join(bare))
