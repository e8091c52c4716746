"""Where lines pass over terminals: one passage for each separate time. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from checks.segments import Disc, Segments, to_segment
from checks.touching import SLACK_MM

__all__ = ["Passage", "passages"]


@dataclass(frozen=True)
class Passage:
    """A polyline passes over a disc, once: nearest to its centre at `at_mm` along, at `point`."""

    path: int
    disc: int
    distance_mm: float
    at_mm: float
    point: tuple[float, float]


def passages(segments: Segments, discs: Sequence[Disc]) -> list[Passage]:
    """Each separate passage of a polyline over a disc: within its radius, the rim included (with the slack)."""
    if not len(segments) or not discs:
        return []
    centres = np.array([(disc.x, disc.y) for disc in discs])
    radii = np.array([disc.radius for disc in discs]) + SLACK_MM
    shapes = segments.shapes()
    disc_at, row_at = shapely.STRtree(shapes).query(
        np.asarray(shapely.points(centres), dtype=np.object_), predicate="dwithin", distance=radii
    )
    order = np.lexsort((row_at, disc_at))
    disc_at, row_at = disc_at[order], row_at[order]
    distance, along = to_segment(centres[disc_at], segments.start[row_at], segments.end[row_at])
    found: list[Passage] = []
    previous: tuple[int, int] | None = None
    for disc, row, gap, share in zip(disc_at.tolist(), row_at.tolist(), distance.tolist(), along.tolist(), strict=True):
        at_mm = float(segments.at_mm[row] + share * segments.length[row])
        passage = Passage(int(segments.line[row]), disc, gap, at_mm, segments.point(row, share))
        corner = math.dist(segments.point(row, 0.0), discs[disc][:2]) <= radii[disc]
        if previous == (disc, row - 1) and segments.linked[row - 1] and corner:
            found[-1] = min(found[-1], passage, key=lambda one: one.distance_mm)
        else:
            found.append(passage)
        previous = (disc, row)
    return found
