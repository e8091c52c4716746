"""How much of a line runs beneath a body: exact lengths in mm, along the rim not counted."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from checks.segments import Disc, Path, clip_to_disc
from projects.circuit.fabric import LaidOut, PlacedBody, Spot

__all__ = ["Beneath", "length_in_circle", "length_in_polygon", "lines_beneath", "mm_beneath"]

LEAST_MM = 0.1
_RIM_MM = 1e-6

XY = tuple[float, float]


@dataclass(frozen=True)
class Beneath:
    """A line runs beneath a body, `length_mm` of it; `spot` is the middle of the longest part there."""

    line: str
    body: PlacedBody
    length_mm: float
    spot: Spot


def lines_beneath(laid_out: LaidOut) -> list[Beneath]:
    """Every line with more than 0.1 mm strictly inside a body, on either side of the fabric, by line, then part."""
    found: list[Beneath] = []
    boxes = [shapely.box(*body.shape.bounds) for body in laid_out.bodies]
    if not boxes or not laid_out.courses:
        return found
    lines = np.asarray([shapely.LineString(course.points) for course in laid_out.courses], dtype=np.object_)
    near = shapely.STRtree(boxes).query(lines, predicate="intersects")
    for line, number in sorted(zip(*near.tolist(), strict=True)):
        course, body = laid_out.courses[line], laid_out.bodies[number]
        if course.piece == body.piece:
            length, point = mm_beneath(course.points, body)
            if length > LEAST_MM:
                found.append(Beneath(course.name, body, length, Spot(body.piece, *point)))
    return found


def mm_beneath(path: Path, body: PlacedBody) -> tuple[float, XY]:
    """Length of a polyline strictly inside a body, and a point in the middle of its longest part there."""
    if body.circle is not None:
        return length_in_circle(path, Disc(*body.circle))
    return length_in_polygon(path, body.outline)


def length_in_circle(path: Path, disc: Disc) -> tuple[float, XY]:
    """Length strictly inside a circle, by distance to its centre, and the middle of the longest part."""
    parts: list[tuple[XY, XY]] = []
    for start, end in itertools.pairwise(path):
        clip = clip_to_disc(start, end, disc)
        if clip is not None:
            parts.append((_at(start, end, clip[0]), _at(start, end, clip[1])))
    return _sum(parts, path)


def length_in_polygon(path: Path, outline: Sequence[XY]) -> tuple[float, XY]:
    """Length strictly inside a simple polygon of any shape, and the middle of the longest part.

    Each segment is cut where it meets an edge; a part is inside if its middle is, and is no nearer than 1e-6 mm
    to the rim.
    """
    edges = list(itertools.pairwise([*outline, outline[0]]))
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    top, bottom = min(y for _, y in outline), max(y for _, y in outline)
    parts: list[tuple[XY, XY]] = []
    for start, end in itertools.pairwise(path):
        if max(start[0], end[0]) < left or min(start[0], end[0]) > right:
            continue
        if max(start[1], end[1]) < top or min(start[1], end[1]) > bottom:
            continue
        cuts = sorted({0.0, 1.0, *(share for edge in edges for share in _meets(start, end, *edge))})
        for low, high in itertools.pairwise(cuts):
            if _inside(_at(start, end, (low + high) / 2), edges):
                parts.append((_at(start, end, low), _at(start, end, high)))
    return _sum(parts, path)


def _sum(parts: list[tuple[XY, XY]], path: Path) -> tuple[float, XY]:
    if not parts:
        return 0.0, path[0]
    longest = max(parts, key=lambda part: math.dist(*part))
    return math.fsum(math.dist(*part) for part in parts), _at(*longest, 0.5)


def _at(start: XY, end: XY, share: float) -> XY:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _meets(start: XY, end: XY, p: XY, q: XY) -> list[float]:
    """Where a segment meets the straight line of an edge within the edge, as shares of the segment's way."""
    way_x, way_y = end[0] - start[0], end[1] - start[1]
    edge_x, edge_y = q[0] - p[0], q[1] - p[1]
    turn = way_x * edge_y - way_y * edge_x
    if turn == 0:
        square = way_x * way_x + way_y * way_y
        shares = [((x - start[0]) * way_x + (y - start[1]) * way_y) / square for x, y in (p, q)] if square else []
        return [share for share in shares if 0 < share < 1]
    from_x, from_y = p[0] - start[0], p[1] - start[1]
    share = (from_x * edge_y - from_y * edge_x) / turn
    along = (from_x * way_y - from_y * way_x) / turn
    return [share] if 0 < share < 1 and -1e-9 <= along <= 1 + 1e-9 else []


def _inside(point: XY, edges: Sequence[tuple[XY, XY]]) -> bool:
    """Strictly inside, by counting the edges that a ray to the right crosses."""
    x, y = point
    odd = False
    for (px, py), (qx, qy) in edges:
        if _from_edge(point, (px, py), (qx, qy)) <= _RIM_MM:
            return False
        if (py > y) != (qy > y) and x < px + (y - py) * (qx - px) / (qy - py):
            odd = not odd
    return odd


def _from_edge(point: XY, p: XY, q: XY) -> float:
    way_x, way_y = q[0] - p[0], q[1] - p[1]
    square = way_x * way_x + way_y * way_y
    share = ((point[0] - p[0]) * way_x + (point[1] - p[1]) * way_y) / square if square else 0.0
    return math.dist(point, _at(p, q, min(max(share, 0.0), 1.0)))
