"""Layouts as learners draw them, each made from a project's example layout by one change.

A change moves what is there (it reads where terminals lie), so it follows the example when that changes.
Distances are in mm.
"""

from __future__ import annotations

from collections.abc import Callable

from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.layout import Cover, Line, Place
from projects.circuit.part_types import Cell

__all__ = [
    "Change",
    "beneath_holder",
    "crossing",
    "crossing_with_cover",
    "forgotten_line",
    "half_the_lines",
    "holder_turned",
    "light_reversed",
    "moved",
    "too_close",
]

Change = Callable[[Document], Document]
XY = tuple[float, float]


def half_the_lines(example: Document) -> Document:
    """All parts placed, the first half of the lines drawn."""
    lines = example.layout.lines
    return _with_lines(example, lines[: len(lines) // 2])


def forgotten_line(example: Document) -> Document:
    """Firefly jar: no line from the controller to the first light."""
    ends = {"M1.a4", "L1.plus"}
    return _with_lines(example, tuple(line for line in example.layout.lines if {line.start, line.end} != ends))


def crossing(example: Document) -> Document:
    """Firefly jar: the controller's minus is fetched from the second light, straight across the line `light-3`."""
    spots = lay_out(example).spots
    start, end = spots["L2.minus"], spots["M1.minus"]
    x, y = _crossed_at(example)
    return _redrawn(example, "s7", "L2.minus", ((start.x - 11, start.y - 6), (x + 11, y), (end.x, y)))


def crossing_with_cover(example: Document) -> Document:
    """The same crossing with a scrap of fabric between the two lines."""
    x, y = _crossed_at(example)
    crossed = crossing(example)
    covers = (*crossed.layout.covers, Cover(piece="front", x=x, y=y, radius=6.0))
    return crossed.with_layout(crossed.layout.model_copy(update={"covers": covers}))


def too_close(example: Document) -> Document:
    """Firefly jar: the minus line goes up 4 mm beside the first light's line, the short way to the resistor."""
    spots = lay_out(example).spots
    plus, minus = spots["L1.plus"], spots["L1.minus"]
    return _redrawn(example, "s10", "L1.minus", ((minus.x + 4, minus.y), (plus.x + 4, plus.y - 12)))


def beneath_holder(example: Document) -> Document:
    """The holder's terminals of one sign are joined beneath its body, not around it."""
    laid = lay_out(example)
    holder = _holder(example)
    home = next(place for place in example.layout.places if place.ref == holder)

    def beneath(line: Line) -> Line:
        if {line.start.partition(".")[0], line.end.partition(".")[0]} != {holder}:
            return line
        ends = laid.spots[line.start], laid.spots[line.end]
        middle = (sum(end.x for end in ends) / 2, sum(end.y for end in ends) / 2)
        return line.model_copy(update={"via": (_halfway(middle, (home.x, home.y)),)})

    return _with_lines(example, tuple(beneath(line) for line in example.layout.lines))


def holder_turned(example: Document) -> Document:
    """The holder is turned by half, so that each terminal faces away from what it connects to."""
    return _with_place(example, _holder(example), lambda place: {"turn": (place.turn + 180) % 360})


def light_reversed(example: Document) -> Document:
    """The light L1 is the wrong way round; the threads lie where they lay, so each meets its other terminal."""
    other = {"L1.plus": "L1.minus", "L1.minus": "L1.plus"}
    turned = _with_place(example, "L1", lambda place: {"turn": (place.turn + 180) % 360})
    return _with_lines(
        turned,
        tuple(
            line.model_copy(update={"start": other.get(line.start, line.start), "end": other.get(line.end, line.end)})
            for line in turned.layout.lines
        ),
    )


def moved(ref: str, right: float, down: float) -> Change:
    """A change that moves one part a little; its lines follow."""

    def change(example: Document) -> Document:
        return _with_place(example, ref, lambda place: {"x": place.x + right, "y": place.y + down})

    return change


def _holder(document: Document) -> str:
    types = lay_out(document).types
    return next(ref for ref, part_type in types.items() if isinstance(part_type.model, Cell))


def _crossed_at(example: Document) -> XY:
    """The middle of the firefly jar's line `light-3`."""
    spots = lay_out(example).spots
    return _halfway((spots["M1.a6"].x, spots["M1.a6"].y), (spots["L3.plus"].x, spots["L3.plus"].y))


def _halfway(one: XY, other: XY) -> XY:
    return ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)


def _redrawn(document: Document, name: str, start: str, via: tuple[XY, ...]) -> Document:
    """The document with one line drawn anew: from another start, over other bends, to the same end."""
    lines = document.layout.lines
    return _with_lines(
        document,
        tuple(line.model_copy(update={"start": start, "via": via}) if line.name == name else line for line in lines),
    )


def _with_lines(document: Document, lines: tuple[Line, ...]) -> Document:
    return document.with_layout(document.layout.model_copy(update={"lines": lines}))


def _with_place(document: Document, ref: str, update: Callable[[Place], dict[str, float]]) -> Document:
    places = tuple(
        place.model_copy(update=update(place)) if place.ref == ref else place for place in document.layout.places
    )
    return document.with_layout(document.layout.model_copy(update={"places": places}))
