"""A line should be no longer than the thread that you can hold.

Why: a very long thread twists, knots and wears out while you sew.

Wrong: one line winds over 50 cm of fabric.

Right: the parts lie near each other, and the line is short.

How to mend: move the parts nearer, make the line more straight, or let it stop at a metal hole on its way.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from checks.facts import Facts
from checks.figures import centimetres
from checks.findings import Finding, Level
from projects.circuit.fabric import Course, Spot
from projects.circuit.sewing import Habits, working_mm
from projects.circuit.text import msg

ID = "long-run"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a line whose own thread, folded in the hand, is longer than the project's `working_mm`."""
    limit = facts.project.settings.working_mm
    for course in facts.laid_out.courses:
        length = working_mm(course.length_mm, facts.project.thread, Habits())
        if length > limit:
            text = msg(
                "The line {line} needs {cm} cm of thread in your hand. More than {limit} cm is hard to sew with.",
                line=facts.line(course.name),
                cm=centimetres(length, beside=limit),
                limit=centimetres(limit),
            )
            fix = msg("Move the parts nearer, or let the line stop at a metal hole on its way.")
            yield Finding(ID, LEVEL, text, fix, at=(_middle(course),), lines=(course.name,))


def _middle(course: Course) -> Spot:
    middle = shapely.LineString(course.points).interpolate(0.5, normalized=True)
    return Spot(course.piece, middle.x, middle.y)
