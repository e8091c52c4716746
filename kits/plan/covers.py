"""Which covers must be on the fabric before which line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import shapely

from kits.plan.runs import Stretch
from projects.circuit.fabric import LaidOut, Spot

__all__ = ["CoverFirst", "covers_first"]


@dataclass(frozen=True)
class CoverFirst:
    """Cover `number` (1 for the layout's first), to be sewn over line `under`."""

    number: int
    spot: Spot
    under: str


def covers_first(laid: LaidOut, stretches: Iterable[Stretch]) -> Mapping[Stretch, tuple[CoverFirst, ...]]:
    """For each stretch, in the order of sewing, the covers to sew just before it.

    The first line that runs through a cover's disc is sewn bare; each later one needs a cover over those before.
    A cover with fewer than two lines through it is needed by none.
    """
    piece_of = {course.name: course.piece for course in laid.courses}
    needed: dict[Stretch, tuple[CoverFirst, ...]] = {}
    through: dict[int, list[str]] = {}
    for stretch in stretches:
        path = shapely.LineString(stretch.points)
        for number, cover in enumerate(laid.document.layout.covers, start=1):
            lines = through.setdefault(number, [])
            if cover.piece != piece_of[stretch.line] or stretch.line in lines:
                continue
            if path.distance(shapely.Point(cover.x, cover.y)) >= cover.radius:
                continue
            if lines:
                first = CoverFirst(number, Spot(cover.piece, cover.x, cover.y), lines[-1])
                needed[stretch] = (*needed.get(stretch, ()), first)
            lines.append(stretch.line)
    return needed
