"""When you close or fold your work, its insides meet.

Why: stitches are bare on both sides of the fabric. Lines that face each other touch when you close it.

Wrong: the piece is folded in the middle. Then a − line lies on a line of the other half.

Right: the lines do not meet when it is closed, or a cover lies between them.

How to mend: move one of the lines. Or sew a cover over one of them on the inside. Or line your work with plain fabric.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.segments import Disc
from checks.touching import Closeness, Stretch
from projects.circuit.fabric import Course, Spot
from projects.circuit.project import Piece
from projects.circuit.text import msg

ID = "fold-touch"
LEVEL: Level = "look"

XY = tuple[float, float]


class _Facing:
    """Two pieces inside to inside, boxes centred on each other: where a point of the second lies on the first."""

    def __init__(self, first: Piece, second: Piece) -> None:
        self.first, self.second = first, second
        (x, y), (other_x, other_y) = (_centre(piece) for piece in (first, second))
        self._x, self._y = x + other_x, y - other_y

    def on_first(self, point: XY) -> XY:
        """x is mirrored: the second piece is turned over onto the first."""
        return (self._x - point[0], self._y + point[1])


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a pair of lines of different connections that come within `spacing` when the object is closed.

    Cloth shifts by some millimetres as it is closed, so the spacing counts, not the contact.
    """
    for first, second in facts.project.faces:
        facing = _Facing(facts.laid_out.pieces[first], facts.laid_out.pieces[second])
        yield from _findings(facts, facing)


def _findings(facts: Facts, facing: _Facing) -> Iterator[Finding]:
    own = _courses(facts, facing.first)
    other = _courses(facts, facing.second)
    owners = [facts.intent.owner(course.name) for course in (*own, *other)]

    def wanted(a: int, b: int) -> bool:
        if not a < len(own) <= b or own[a].name == other[b - len(own)].name:
            return False
        return not owners[a] or owners[a] != owners[b]

    turned = [tuple(facing.on_first(point) for point in course.points) for course in other]
    closeness = Closeness([*(course.points for course in own), *turned], _covers(facts, facing), facts.project.spacing)
    said: set[frozenset[str]] = set()
    for stretch in closeness.stretches(facts.project.spacing, wanted=wanted):
        pair = (own[stretch.a].name, other[stretch.b - len(own)].name)
        # A piece that faces itself finds each pair twice, once from each side.
        if frozenset(pair) not in said:
            said.add(frozenset(pair))
            yield _finding(facts, facing, pair, stretch)


def _courses(facts: Facts, piece: Piece) -> list[Course]:
    return [course for course in facts.laid_out.courses if course.piece == piece.name]


def _covers(facts: Facts, facing: _Facing) -> list[Disc]:
    """Covers of both pieces, where they lie on the first."""
    covers = facts.document.layout.covers
    here = [Disc(one.x, one.y, one.radius) for one in covers if one.piece == facing.first.name]
    there = (one for one in covers if one.piece == facing.second.name)
    return here + [Disc(*facing.on_first((one.x, one.y)), one.radius) for one in there]


def _finding(facts: Facts, facing: _Facing, pair: tuple[str, str], stretch: Stretch) -> Finding:
    owners = facts.intent.owner(pair[0]) | facts.intent.owner(pair[1])
    back = _Facing(facing.second, facing.first).on_first(stretch.point_b)
    at = (Spot(facing.first.name, *stretch.point_a), Spot(facing.second.name, *back))
    text = msg("When you close it, these lines touch: {lines}.", lines=facts.lines(pair))
    fix = msg("Move one of them, or sew a cover on it on the inside.")
    connections = tuple(one.name for one in facts.project.connections if one.name in owners)
    return Finding(ID, LEVEL, text, fix, at=at, lines=pair, connections=connections)


def _centre(piece: Piece) -> XY:
    xs, ys = zip(*piece.outline, strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
