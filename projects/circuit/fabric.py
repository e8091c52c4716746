"""A layout laid out on its fabric: where each terminal, body and line really lies.

Everything that looks at a layout (checks, drawing, plan, suggestions) starts from `lay_out`.
Millimetres, x right, y down, as seen from the outside; each piece has its own plane.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry import Polygon as Shape

from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.layout import Line, Place, Side
from projects.circuit.part_types import Circle, Link, PartType, Rectangle, Switch
from projects.circuit.project import Piece, Project
from projects.circuit.text import Message, msg

__all__ = [
    "Course",
    "LaidOut",
    "LooseLine",
    "PlacedBody",
    "Spot",
    "body_points",
    "can_stand_apart",
    "lay_out",
    "on_fabric",
]

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, order=True)
class Spot:
    """A point on a piece, mm."""

    piece: str
    x: float
    y: float


@dataclass(frozen=True)
class Course:
    """A line with both ends known on its own piece: its full polyline from end to end."""

    line: Line
    points: Points

    @property
    def name(self) -> str:
        return self.line.name

    @property
    def piece(self) -> str:
        return self.line.piece

    @cached_property
    def length_mm(self) -> float:
        """Length of the path in mm."""
        return math.fsum(math.dist(a, b) for a, b in zip(self.points, self.points[1:], strict=False))


@dataclass(frozen=True)
class LooseLine:
    """A line left out of the sewn graph: the points that are known, the ends that are not, and why."""

    line: Line
    points: Points
    ends: tuple[str, ...]
    why: Message


@dataclass(frozen=True)
class PlacedBody:
    """The body of a placed part on its piece: outline in mm; `circle` (x, y, radius) where it is round."""

    ref: str
    piece: str
    side: Side
    part_type: PartType
    outline: Points
    circle: tuple[float, float, float] | None

    @cached_property
    def shape(self) -> Shape:
        """The outline as a shapely polygon (a circle as a polygon inside it within 0.01 mm)."""
        if self.circle is not None:
            x, y, radius = self.circle
            return shapely.Point(x, y).buffer(radius, quad_segs=64)
        return Shape(self.outline)


def on_fabric(place: Place, x: float, y: float) -> tuple[float, float]:
    """Where an offset (x, y) from a part's origin lies on the fabric.

    On the inside x is negated first (the part is seen through the fabric), then the offset is turned
    clockwise by `turn` degrees (y points down) and moved to the place.
    """
    if place.side == "inside":
        x = -x
    cos, sin = _cos_sin(place.turn)
    return (place.x + x * cos - y * sin, place.y + x * sin + y * cos)


def _cos_sin(degrees: float) -> tuple[float, float]:
    """Cosine and sine, exact at quarter turns, so that a turned part stays on its grid."""
    quarter, rest = divmod(degrees % 360.0, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    angle = math.radians(degrees)
    return (math.cos(angle), math.sin(angle))


def body_points(part_type: PartType, steps: int = 64) -> Points:
    """Outline of a body around the part's origin, mm; a circle as `steps` points."""
    body = part_type.body
    if isinstance(body, Circle):
        radius = body.diameter / 2
        turns = (2 * math.pi * i / steps for i in range(steps))
        return tuple((radius * math.cos(a), radius * math.sin(a)) for a in turns)
    if isinstance(body, Rectangle):
        w, h = body.width / 2, body.height / 2
        return ((-w, -h), (w, -h), (w, h), (-w, h))
    return body.points


@dataclass(frozen=True)
class LaidOut:
    """A document with every place worked out.

    `types`: part type by part ref. `spots`: placed terminals by `B1.p1`. `joins`: joins by name.
    `courses`: lines that belong to the sewn graph. `loose`: lines that do not, with the reason.
    `bodies`: bodies of placed parts, in the order of `parts`.
    """

    document: Document
    types: Mapping[str, PartType]
    spots: Mapping[str, Spot]
    joins: Mapping[str, Spot]
    courses: tuple[Course, ...]
    loose: tuple[LooseLine, ...]
    bodies: tuple[PlacedBody, ...]

    @property
    def project(self) -> Project:
        return self.document.project

    @cached_property
    def pieces(self) -> Mapping[str, Piece]:
        """Pieces by name."""
        return {piece.name: piece for piece in self.project.pieces}

    @cached_property
    def places(self) -> Mapping[tuple[str, str | None], Place]:
        """Places by (ref, terminal), terminal None for a whole part."""
        return {(place.ref, place.terminal): place for place in self.document.layout.places}

    def radius(self, terminal: str) -> float:
        """Terminal radius in mm."""
        return self.types[terminal.partition(".")[0]].terminal_radius

    def label(self, terminal: str) -> str:
        """What is printed on the part at this terminal, else the terminal's name."""
        ref, _, name = terminal.partition(".")
        return self.types[ref].terminal(name).label or name

    def terminals(self) -> Iterator[str]:
        """Every terminal of every part, placed or not, in the order of `parts`."""
        for part in self.project.parts:
            for terminal in self.types[part.ref].terminals:
                yield f"{part.ref}.{terminal.name}"

    def groups(self) -> Iterator[tuple[str, ...]]:
        """Every group of terminals joined inside a part (`joined`, links), lone terminals included."""
        for part in self.project.parts:
            for names in self.types[part.ref].groups():
                yield tuple(f"{part.ref}.{name}" for name in names)


def lay_out(document: Document) -> LaidOut:
    """Work out where everything lies. The document must have passed `project_file.read`."""
    types = part_types_of(document.project)
    spots: dict[str, Spot] = {}
    bodies: dict[str, PlacedBody] = {}
    for place in document.layout.places:
        part_type = types[place.ref]
        if place.terminal is not None:
            spots[f"{place.ref}.{place.terminal}"] = Spot(place.piece, place.x, place.y)
            continue
        for terminal in part_type.terminals:
            x, y = on_fabric(place, terminal.x, terminal.y)
            spots[f"{place.ref}.{terminal.name}"] = Spot(place.piece, x, y)
        bodies[place.ref] = _placed_body(place, part_type)
    joins = {join.name: Spot(join.piece, join.x, join.y) for join in document.layout.joins}
    traced = [_trace(line, spots, joins) for line in document.layout.lines]
    courses = tuple(found for found in traced if isinstance(found, Course))
    loose = tuple(found for found in traced if isinstance(found, LooseLine))
    ordered = tuple(bodies[part.ref] for part in document.project.parts if part.ref in bodies)
    return LaidOut(document, types, spots, joins, courses, loose, ordered)


def _placed_body(place: Place, part_type: PartType) -> PlacedBody:
    outline = tuple(on_fabric(place, x, y) for x, y in body_points(part_type))
    circle = None
    if isinstance(part_type.body, Circle):
        circle = (place.x, place.y, part_type.body.diameter / 2)
    return PlacedBody(place.ref, place.piece, place.side, part_type, outline, circle)


def _trace(line: Line, spots: Mapping[str, Spot], joins: Mapping[str, Spot]) -> Course | LooseLine:
    """The line as a course, or as a loose line where an end has no place on the line's own piece."""
    spot_of = {end: joins.get(end[1:]) if end.startswith("@") else spots.get(end) for end in (line.start, line.end)}
    here = {end: (spot.x, spot.y) for end, spot in spot_of.items() if spot is not None and spot.piece == line.piece}
    points = (
        *([here[line.start]] if line.start in here else []),
        *line.via,
        *([here[line.end]] if line.end in here else []),
    )
    missing = tuple(end for end in spot_of if end not in here)
    if not missing:
        return Course(line, points)
    if any(spot_of[end] is None for end in missing):
        return LooseLine(line, points, missing, msg("{end} has no place yet.", end=" / ".join(missing)))
    return LooseLine(line, points, missing, msg("{end} is on another piece.", end=" / ".join(missing)))


def can_stand_apart(part_type: PartType) -> bool:
    """Whether its terminals may be placed one by one: links, and switches (a snap in two halves)."""
    return isinstance(part_type.model, Link | Switch)
