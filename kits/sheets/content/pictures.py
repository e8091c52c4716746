"""The drawings on a sheet: each side of each piece, numbered by thread, at true scale where it fits the page."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from xml.etree import ElementTree

from checks.findings import Finding
from kits.plan.values import Plan
from kits.sheets.content.threads import ends_of, line_labels, numbers
from kits.sheets.content.values import Units
from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.layout import Side
from projects.circuit.text import Message, msg
from projects.drawing import draw
from projects.drawing.overlay import Mark, Overlay
from projects.drawing.style import Style

__all__ = ["BOX_MM", "Picture", "overlay", "picture_of", "pictures", "pieces_in_use"]

BOX_MM = (186.0, 226.0)
"""Room for one drawing, mm: inside the margins of A4 and of Letter alike, below its caption."""

_HALF_MM = 116.0  # height of a drawing of which two stand on one Letter page
_WORTH_IT = 0.75  # a drawing that must be made smaller anyway gives up to a quarter more, to share its page

_SIDES: tuple[Side, ...] = ("outside", "inside")


@dataclass(frozen=True)
class Picture:
    """One drawing: `svg` of its own true size, to be shown `width_mm` × `height_mm` large.

    `name` stands above it, `scale` says how large it is, `alt` tells someone who cannot see it what it is.
    """

    svg: str
    name: Message
    scale: Message
    alt: Message
    width_mm: float
    height_mm: float
    true_scale: bool


def pictures(
    laid_out: LaidOut, marks: Overlay, say: Callable[[Message], str] = str, units: Units = "cm"
) -> tuple[Picture, ...]:
    """Outside and inside of every piece that has something on it (of the first piece, if none has)."""
    return tuple(
        _picture(laid_out, marks, piece, side, say, units) for piece in pieces_in_use(laid_out) for side in _SIDES
    )


def overlay(plan: Plan, stops: Sequence[Finding], lines: Iterable[str] = ()) -> Overlay:
    """Flag and bar of every thread, the label along every line, and a mark for each stop of the banner.

    Of `lines`, those that no thread sews keep their own name.
    """
    marks = [*_thread_marks(plan), *_stop_marks(stops)]
    return Overlay(marks=tuple(marks), line_labels={line: line for line in lines} | dict(line_labels(plan.runs)))


def _thread_marks(plan: Plan) -> Iterator[Mark]:
    ends = ends_of(plan)
    for run, number in numbers(plan.runs).items():
        if run in ends:
            start, end = ends[run]
            yield Mark(start, "start", str(number))
            yield Mark(end, "end", str(number))


def _stop_marks(stops: Sequence[Finding]) -> Iterator[Mark]:
    for number, finding in enumerate(stops, 1):
        for spot in finding.at[:1]:
            yield Mark(spot, "stop", str(number))


def pieces_in_use(laid_out: LaidOut) -> list[str]:
    """Pieces that have something on them, in the project's order; the first piece, if none has."""
    spots: list[Spot] = [*laid_out.spots.values(), *laid_out.joins.values()]
    used = {spot.piece for spot in spots} | {line.piece for line in laid_out.document.layout.lines}
    names = [piece.name for piece in laid_out.project.pieces]
    return [name for name in names if name in used] or names[:1]


def picture_of(
    laid_out: LaidOut, marks: Overlay, piece: str, say: Callable[[Message], str], units: Units, height_mm: float
) -> Picture:
    """The outside of one piece, made smaller to be at most that high."""
    picture = _picture(laid_out, marks, piece, "outside", say, units)
    if picture.height_mm <= height_mm:
        return picture
    width, height = _size_mm(picture.svg)
    scale = math.floor(height_mm / height * 100) / 100
    smaller = replace(picture, width_mm=width * scale, height_mm=height * scale)
    return replace(smaller, scale=_scale_words(scale, units), true_scale=False)


def _picture(
    laid_out: LaidOut, marks: Overlay, piece: str, side: Side, say: Callable[[Message], str], units: Units
) -> Picture:
    svg = draw(laid_out, piece=piece, side=side, overlay=marks, style=Style(say=say))
    width, height = _size_mm(svg)
    scale = _scale(width, height)
    many = len(laid_out.project.pieces) > 1
    return Picture(
        svg=svg,
        name=_name(piece, side, many),
        scale=_scale_words(scale, units),
        alt=_alt(laid_out, piece, side),
        width_mm=width * scale,
        height_mm=height * scale,
        true_scale=scale == 1.0,
    )


def _scale(width: float, height: float) -> float:
    """1 if the drawing fits the page; else in whole per cents, so that what the caption says is so.

    >>> _scale(160, 120), _scale(220, 160), _scale(120, 400)
    (1.0, 0.72, 0.56)
    """
    whole_page = min(1.0, BOX_MM[0] / width, BOX_MM[1] / height)
    if whole_page == 1.0:
        return whole_page
    half_page = min(whole_page, _HALF_MM / height)
    return math.floor((half_page if half_page >= _WORTH_IT * whole_page else whole_page) * 100) / 100


def _size_mm(svg: str) -> tuple[float, float]:
    root = ElementTree.fromstring(svg)
    return (float(root.attrib["width"].removesuffix("mm")), float(root.attrib["height"].removesuffix("mm")))


def _name(piece: str, side: Side, many: bool) -> Message:
    if side == "outside":
        return msg("Outside of {piece}", piece=piece) if many else msg("Outside")
    return msg("Inside of {piece}", piece=piece) if many else msg("Inside")


def _scale_words(scale: float, units: Units) -> Message:
    if scale == 1.0:
        return msg("true size")
    values = {"times": f"{1 / scale:.1f}", "percent": round(scale * 100)}
    if units == "inch":
        return msg("drawn smaller: 1 in here is {times} in on the fabric ({percent} %)", **values)
    return msg("drawn smaller: 1 cm here is {times} cm on the fabric ({percent} %)", **values)


def _alt(laid_out: LaidOut, piece: str, side: Side) -> Message:
    here = [body.ref for body in laid_out.bodies if body.piece == piece and body.side == side]
    lines = sum(1 for course in laid_out.courses if course.piece == piece)
    parts = ", ".join(here) or msg("no parts")
    if side == "outside":
        return msg("Drawing of the outside of {piece}: {parts}; lines: {lines}.", piece=piece, parts=parts, lines=lines)
    return msg(
        "Drawing of the inside of {piece}, as seen from that side: {parts}; lines: {lines}.",
        piece=piece,
        parts=parts,
        lines=lines,
    )
