"""How the fabric is looked at: which side, and which part of the plane is shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from projects.circuit.fabric import Course, LaidOut, LooseLine, on_fabric
from projects.circuit.layout import Place, Side
from projects.circuit.project import Piece

__all__ = ["Box", "View", "spanning", "view_of"]

Box = tuple[float, float, float, float]
"""Left, top, right, bottom in mm."""

# A part dragged far off the fabric must not shrink the drawing to a dot; its finding still names it.
_MARGIN_MM = 60.0


def spanning(boxes: Sequence[Box]) -> Box:
    """The smallest box that holds them all; at least one.

    >>> spanning([(0, 0, 2, 2), (-1, 1, 1, 5)])
    (-1, 0, 2, 5)
    """
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


@dataclass(frozen=True)
class View:
    """One side of one piece; on the inside x is mirrored about the middle of the box, so the box stays."""

    piece: Piece
    side: Side
    box: Box

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a point of the fabric is drawn."""
        return (x, y) if self.side == "outside" else (self.box[0] + self.box[2] - x, y)

    def all(self, points: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        return [self.at(x, y) for x, y in points]

    def word_spot(self, place: Place, x: float, y: float) -> tuple[float, float]:
        """Where an offset from a part's origin is drawn."""
        return self.at(*on_fabric(place, x, y))

    def matrix(self, place: Place) -> str:
        """The `transform` that draws a part's own shapes at its place."""
        ox, oy = self.word_spot(place, 0, 0)
        ax, ay = self.word_spot(place, 1, 0)
        bx, by = self.word_spot(place, 0, 1)
        values = (ax - ox, ay - oy, bx - ox, by - oy, ox, oy)
        return "matrix(" + " ".join(f"{value:.5f}" for value in values) + ")"


def view_of(laid_out: LaidOut, piece: Piece, side: Side) -> View:
    """A view that shows the whole piece, and what pokes out of it by up to 60 mm."""
    left, top = (min(point[i] for point in piece.outline) for i in (0, 1))
    right, bottom = (max(point[i] for point in piece.outline) for i in (0, 1))
    points = list(_things(laid_out, piece.name))
    if points:
        left = min(left, max(left - _MARGIN_MM, min(x for x, _ in points)))
        right = max(right, min(right + _MARGIN_MM, max(x for x, _ in points)))
        top = min(top, max(top - _MARGIN_MM, min(y for _, y in points)))
        bottom = max(bottom, min(bottom + _MARGIN_MM, max(y for _, y in points)))
    return View(piece, side, (left, top, right, bottom))


def _things(laid_out: LaidOut, piece: str) -> Iterable[tuple[float, float]]:
    for body in laid_out.bodies:
        if body.piece == piece:
            yield from body.outline
    for terminal, spot in laid_out.spots.items():
        if spot.piece == piece:
            radius = laid_out.radius(terminal)
            yield (spot.x - radius, spot.y - radius)
            yield (spot.x + radius, spot.y + radius)
    threads: list[Course | LooseLine] = [*laid_out.courses, *laid_out.loose]
    for thread in threads:
        if thread.line.piece == piece:
            yield from thread.points
