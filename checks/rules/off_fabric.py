"""All parts and lines must lie on the fabric, and not in the edge that is sewn into the seam.

Why: what lies in the seam edge is hidden or cut when the pieces are sewn up. A seam crossing must lie there, and so
may the end of a line that leads to it.

Wrong: a light lies 3 mm from the edge, but the seam needs 8 mm.

Right: the light lies 12 mm from the edge.

How to mend: move the part, or the bend of the line, in from the edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.touching import SLACK_MM
from projects.circuit.fabric import Course, PlacedBody, Spot
from projects.circuit.part_types import Link
from projects.circuit.project import Piece
from projects.circuit.text import Message, msg

ID = "off-fabric"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a part, one a line; lines of a part that is off itself are left until it is moved."""
    off: set[str] = set()
    for piece in facts.project.pieces:
        outline = shapely.Polygon(piece.outline)
        for ref, spot in _parts_off(facts, piece, outline):
            if ref not in off:
                off.add(ref)
                yield Finding(ID, LEVEL, *_texts(ref, piece), at=(spot,), parts=(ref,))
    for piece in facts.project.pieces:
        outline = shapely.Polygon(piece.outline)
        courses = [course for course in facts.laid_out.courses if course.piece == piece.name]
        for course in courses:
            if facts.parts_of[course.name] & off:
                continue
            where = _line_off(facts, course, shapely.LineString(course.points), piece, outline)
            if where is not None:
                name = msg("The line {line}", line=facts.line(course.name))
                yield Finding(ID, LEVEL, *_texts(name, piece), at=(where,), lines=(course.name,))


def _texts(what: str | Message, piece: Piece) -> tuple[Message, Message]:
    margin = f"{piece.seam_allowance:g}"
    text = msg("{what} is too near the edge of {piece}, or over it.", what=what, piece=piece.name)
    return text, msg("Move it in. Keep {mm} mm to the edge.", mm=margin)


def _parts_off(facts: Facts, piece: Piece, outline: shapely.Polygon) -> Iterator[tuple[str, Spot]]:
    """Parts, and where: their bodies and the middles of their terminals must keep off the seam allowance."""
    for body in facts.laid_out.bodies:
        if body.piece == piece.name and not _body_fits(body, piece, outline):
            yield body.ref, facts.spot_of(body.ref) or Spot(piece.name, *body.outline[0])
    for terminal, spot in facts.laid_out.spots.items():
        if spot.piece == piece.name:
            ref = terminal.partition(".")[0]
            margin = _margin(facts, ref, piece)
            if not _keeps(shapely.Point(spot.x, spot.y), margin, outline):
                yield ref, spot


def _margin(facts: Facts, ref: str, piece: Piece) -> float:
    return 0.0 if isinstance(facts.laid_out.types[ref].model, Link) else piece.seam_allowance


def _body_fits(body: PlacedBody, piece: Piece, outline: shapely.Polygon) -> bool:
    margin = 0.0 if isinstance(body.part_type.model, Link) else piece.seam_allowance
    if body.circle is None:
        return _keeps(body.shape, margin, outline)
    x, y, radius = body.circle
    return _keeps(shapely.Point(x, y), margin + radius, outline)


def _keeps(shape: shapely.Geometry, margin: float, outline: shapely.Polygon) -> bool:
    """Whether a shape lies in the outline and keeps `margin` mm to its rim."""
    if margin > SLACK_MM:
        return bool(outline.contains(shape) and outline.exterior.distance(shape) >= margin - SLACK_MM)
    # On the rim itself rounding decides; a slack-wide border settles it.
    return bool(outline.covers(shape) or outline.buffer(SLACK_MM).covers(shape))


def _line_off(
    facts: Facts, course: Course, line: shapely.LineString, piece: Piece, outline: shapely.Polygon
) -> Spot | None:
    """Where a line leaves the fabric or runs in the seam allowance; near a link where it ends, it may."""
    if _keeps(line, piece.seam_allowance, outline):
        return None
    free = [
        shapely.Point(facts.laid_out.spots[end].x, facts.laid_out.spots[end].y).buffer(
            (2 * piece.seam_allowance + SLACK_MM) / math.cos(math.pi / 256),
            quad_segs=64,  # all of the circle in it
        )
        for end in (course.line.start, course.line.end)
        if not end.startswith("@") and isinstance(facts.laid_out.types[end.partition(".")[0]].model, Link)
    ]
    outside = line.difference(outline.buffer(SLACK_MM))
    if not outside.is_empty:
        return _spot(piece, outside)
    rest = line.difference(shapely.unary_union(free)) if free else line
    if rest.is_empty or _keeps(rest, piece.seam_allowance, outline):
        return None
    nearest = shapely.shortest_line(rest, outline.exterior)
    return Spot(piece.name, *nearest.coords[0])


def _spot(piece: Piece, shape: shapely.Geometry) -> Spot:
    point = shapely.point_on_surface(shape)
    return Spot(piece.name, point.x, point.y)
