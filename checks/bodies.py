"""Parts that share a place. Millimetres, with a slack of 1e-6."""

from __future__ import annotations

import itertools
import math

import shapely

from checks.touching import SLACK_MM
from projects.circuit.fabric import LaidOut, PlacedBody, Spot

__all__ = ["body_overlaps", "terminal_overlaps"]

_LEAST_AREA = 1e-4
"""mm²: 1e-6 mm deep along a rim of 100 mm."""


def body_overlaps(laid_out: LaidOut, *, same_side: bool) -> dict[tuple[str, str], Spot]:
    """Pairs of parts of one piece whose bodies share area, in the order of `parts`, and the middle of it."""
    found: dict[tuple[str, str], Spot] = {}
    boxes = {body.ref: _box(body) for body in laid_out.bodies}
    for one, other in itertools.combinations(laid_out.bodies, 2):
        if one.piece != other.piece or (one.side == other.side) != same_side:
            continue
        a, b = boxes[one.ref], boxes[other.ref]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] and _share_area(one, other):
            middle = one.shape.intersection(other.shape).centroid
            spot = Spot(one.piece, middle.x, middle.y) if not middle.is_empty else Spot(one.piece, *one.outline[0])
            found[one.ref, other.ref] = spot
    return found


def _box(body: PlacedBody) -> tuple[float, float, float, float]:
    if body.circle is not None:
        x, y, radius = body.circle
        return (x - radius, y - radius, x + radius, y + radius)
    xs, ys = zip(*body.outline, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def _share_area(one: PlacedBody, other: PlacedBody) -> bool:
    """Circles by their distance, all else by the area of what is shared."""
    if one.circle is not None and other.circle is not None:
        gap = math.dist(one.circle[:2], other.circle[:2])
        return gap < one.circle[2] + other.circle[2] - SLACK_MM
    for round_one, shape in ((one.circle, other.shape), (other.circle, one.shape)):
        if round_one is not None:
            return bool(shape.distance(shapely.Point(round_one[:2])) < round_one[2] - SLACK_MM)
    return bool(one.shape.intersection(other.shape).area > _LEAST_AREA)


def terminal_overlaps(laid_out: LaidOut) -> dict[tuple[str, str], Spot]:
    """Pairs of parts whose terminals' discs share area, on either side of the fabric: anchors go through it."""
    found: dict[tuple[str, str], Spot] = {}
    discs = [(name.partition(".")[0], spot, laid_out.radius(name)) for name, spot in laid_out.spots.items()]
    order = {part.ref: number for number, part in enumerate(laid_out.project.parts)}
    discs.sort(key=lambda disc: (disc[1].piece, disc[1].x))
    widest = max((radius for _, _, radius in discs), default=0.0)
    for index, (ref, spot, radius) in enumerate(discs):
        for other, there, reach in itertools.islice(discs, index + 1, None):
            if there.piece != spot.piece or there.x - spot.x >= radius + widest:
                break
            if ref != other and math.dist((spot.x, spot.y), (there.x, there.y)) < radius + reach - SLACK_MM:
                pair = (ref, other) if order[ref] < order[other] else (other, ref)
                found[pair] = Spot(spot.piece, (spot.x + there.x) / 2, (spot.y + there.y) / 2)
    return dict(sorted(found.items(), key=lambda item: (order[item[0][0]], order[item[0][1]])))
