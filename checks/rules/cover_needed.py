"""Where two lines cross, a cover must lie between them.

Why: the thread is bare. The cover, a scrap of plain fabric, keeps the two lines apart.

Wrong: the line from − passes over the line from +. It works only with a cover, and you must not forget it.

Right: the lines do not cross, and you need no cover.

How to mend: nothing is wrong. Sew the cover on before you sew the line that passes over it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.touching import SLACK_MM, Closeness, Stretch
from projects.circuit.fabric import Course, Spot
from projects.circuit.layout import Cover
from projects.circuit.text import msg

ID = "cover-needed"
LEVEL: Level = "note"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a cover that keeps lines of different connections from touching."""
    for piece in facts.laid_out.pieces:
        covers = [cover for cover in facts.document.layout.covers if cover.piece == piece]
        courses = [course for course in facts.laid_out.courses if course.piece == piece]
        if covers and len(courses) > 1:
            touching = _bare(facts, courses)
            for cover in covers:
                hidden = [stretch for stretch in touching if _hides(cover, stretch)]
                if hidden:
                    yield _finding(facts, cover, courses, hidden)


def _bare(facts: Facts, courses: list[Course]) -> list[Stretch]:
    """Where lines that must not touch would, if there were no covers."""
    owners = [facts.intent.owner(course.name) for course in courses]
    closeness = Closeness([course.points for course in courses], (), facts.project.contact)
    return closeness.stretches(facts.project.contact, wanted=lambda a, b: not owners[a] or owners[a] != owners[b])


def _hides(cover: Cover, stretch: Stretch) -> bool:
    """Whether the cover lies where the two lines are nearest, so that they do not meet there."""
    return all(
        math.dist((cover.x, cover.y), point) < cover.radius + SLACK_MM for point in (stretch.point_a, stretch.point_b)
    )


def _finding(facts: Facts, cover: Cover, courses: list[Course], hidden: list[Stretch]) -> Finding:
    pairs = [(courses[one.a].name, courses[one.b].name) for one in hidden]
    lines = tuple(dict.fromkeys(name for pair in pairs for name in pair))
    owners = set().union(*(facts.intent.owner(line) for line in lines))
    text = msg("A cover keeps these lines apart: {lines}.", lines=facts.lines(lines))
    fix = msg("Sew one line first, then the cover on top, then the other line over it.")
    connections = tuple(one.name for one in facts.project.connections if one.name in owners)
    at = (Spot(cover.piece, cover.x, cover.y),)
    return Finding(ID, LEVEL, text, fix, at=at, lines=lines, connections=connections)
