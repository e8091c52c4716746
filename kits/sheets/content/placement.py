"""The placement template: where everything lies, at true scale, to lay on the fabric and mark through."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from checks.findings import Report
from kits.plan.values import Plan
from kits.sheets.content.pictures import pieces_in_use
from kits.sheets.content.ruler import true_bar
from kits.sheets.content.step_sheet import Stop, stops_of
from kits.sheets.content.threads import line_labels
from kits.sheets.content.tiles import Tile, tiles
from kits.sheets.content.values import Heading, Sheet, Units
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.layout import Side
from projects.circuit.text import Message, msg
from projects.drawing import draw
from projects.drawing.overlay import Overlay
from projects.drawing.style import Style

__all__ = ["PlacementTemplate", "TiledPiece", "placement_template", "tiled_pieces"]


@dataclass(frozen=True)
class TiledPiece:
    """One piece of fabric on one page or several: its name, what it shows in words, its tiles row by row."""

    name: str
    alt: Message
    tiles: tuple[Tile, ...]

    @property
    def rows(self) -> int:
        return self.tiles[-1].row

    @property
    def columns(self) -> int:
        return self.tiles[-1].column


def tiled_pieces(drawings: Mapping[str, str], alt: Callable[[str], Message]) -> tuple[TiledPiece, ...]:
    """Each drawing, by the name of its piece, cut into tiles."""
    return tuple(TiledPiece(name, alt(name), tiles(svg)) for name, svg in drawings.items())


def tile_images(pieces: Sequence[TiledPiece]) -> Mapping[str, str]:
    """The tiles as pictures, named `tile-piece-row-column` with the piece's number from 1."""
    return {
        f"tile-{number}-{tile.row}-{tile.column}": tile.svg
        for number, piece in enumerate(pieces, 1)
        for tile in piece.tiles
    }


@dataclass(frozen=True)
class PlacementTemplate(Sheet):
    """All that stands on a placement template; `mirrored`: as seen from the inside, to mark that side."""

    units: Units
    example: bool
    incomplete: bool
    left_handed: bool
    stops: tuple[Stop, ...]
    mirrored: bool
    pieces: tuple[TiledPiece, ...]
    bar: str

    def images(self) -> Mapping[str, str]:
        return {"bar": self.bar, **tile_images(self.pieces)}


def placement_template(
    document: Document,
    plan: Plan,
    report: Report,
    *,
    heading: Heading,
    units: Units = "cm",
    example: bool = False,
    mirrored: bool = False,
    say: Callable[[Message], str] = str,
) -> PlacementTemplate:
    """The template of one layout, its lines named as on the step sheet; `plan` and `report` are those of `document`."""
    laid_out = lay_out(document)
    side: Side = "inside" if mirrored else "outside"
    return PlacementTemplate(
        heading=heading,
        units=units,
        example=example,
        incomplete=not report.complete,
        left_handed=False,
        stops=stops_of(report, plan),
        mirrored=mirrored,
        pieces=tiled_pieces(_drawings(laid_out, plan, side, say), lambda name: _alt(name, mirrored)),
        bar=true_bar(units),
    )


def _drawings(laid_out: LaidOut, plan: Plan, side: Side, say: Callable[[Message], str]) -> Mapping[str, str]:
    labels = {line.name: line.name for line in laid_out.document.layout.lines} | dict(line_labels(plan.runs))
    # Without colour: it is a tool to trace, and the fabric's own colour would only cost ink.
    style = Style(greyscale=True, say=say)
    overlay = Overlay(line_labels=labels)
    return {
        name: draw(laid_out, piece=name, side=side, overlay=overlay, style=style) for name in pieces_in_use(laid_out)
    }


def _alt(piece: str, mirrored: bool) -> Message:
    if mirrored:
        return msg("Template of the inside of {piece}, mirrored, at true size.", piece=piece)
    return msg("Template of the outside of {piece}, at true size.", piece=piece)
