"""Each line must start and end at something.

Why: thread that ends on bare fabric joins nothing. Its end can come loose and touch other thread.

Wrong: a line leads to a light that has no place yet, or to a meeting point where no other line ends.

Right: the line runs from one metal hole to another, or to a point where more lines meet.

How to mend: place the part, let the line end at a metal hole, or take the line out.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.touching import SLACK_MM
from projects.circuit.fabric import Spot
from projects.circuit.text import Message, listed, msg

ID = "loose-end"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a line: an end has no place on the line's piece, or is a join that nothing else meets."""
    for loose in facts.laid_out.loose:
        ends = listed([msg("{end}", end=end) if end.startswith("@") else facts.label(end) for end in loose.ends])
        at = tuple(Spot(loose.line.piece, x, y) for x, y in loose.points[:1])
        text = msg(
            "The line {line} has a loose end. {why}",
            line=facts.line(loose.line.name),
            why=_why(facts, loose.ends, ends),
        )
        fix = msg("Place the part there, or take the line out.")
        terminals = tuple(end for end in loose.ends if not end.startswith("@"))
        yield Finding(ID, LEVEL, text, fix, at=at, lines=(loose.line.name,), terminals=terminals)
    for line, join in _dangling(facts):
        text = msg("The line {line} meets no other line there.", line=facts.line(line))
        fix = msg("Let it end at a metal hole, or take it out.")
        yield Finding(ID, LEVEL, text, fix, at=(facts.laid_out.joins[join],), lines=(line,))


def _why(facts: Facts, ends: tuple[str, ...], names: Message) -> Message:
    if any(end in facts.laid_out.spots for end in ends) or all(end.startswith("@") for end in ends):
        return msg("{end} lies on another piece.", end=names)
    return msg("{end} has no place yet.", end=names)


def _dangling(facts: Facts) -> Iterator[tuple[str, str]]:
    """Lines whose end at a join is met by no other line, neither at its end nor on its way."""
    ends = [
        (end, course.name)
        for course in facts.laid_out.courses
        for end in (course.line.start, course.line.end)
        if end.startswith("@")
    ]
    count = Counter(end for end, _ in ends)
    for end, line in ends:
        if count[end] == 1:
            spot = facts.laid_out.joins[end[1:]]
            reach = facts.project.contact - SLACK_MM
            met = (
                contact for contact in facts.sewn.contacts if line in contact.lines and contact.spot.piece == spot.piece
            )
            if all(math.dist((spot.x, spot.y), (one.spot.x, one.spot.y)) >= reach for one in met):
                yield line, end[1:]
