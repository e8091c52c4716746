"""A board, a buzzer or a motor needs enough volts to work.

Why: each bit of thread and each part on the way takes some of the volts. Too few are left, and the part does not run.

Wrong: a coin battery feeds a motor. The motor takes so much that less than 2 V is left, and
it needs 2 V.

Right: the same battery feeds a buzzer. It takes less, so more volts are left.

How to mend: use a stronger battery, shorter lines, or fewer parts at once.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import volts
from checks.findings import Finding, Level
from checks.working import Most
from projects.circuit.part_types import Controller, Load
from projects.circuit.text import msg

ID = "weak-supply"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a part: a controller that ever runs short while it is fed, a load that never has enough; fresh."""
    for ref, board in facts.working.parts(Controller):
        short = _short(facts, ref, board.min_volts)
        if short is not None:
            yield _finding(facts, ref, short, board.min_volts)
    for ref, load in facts.working.parts(Load):
        best = facts.working.ever_volts(ref, load.min_volts)
        if best.value < load.min_volts:
            yield _finding(facts, ref, best, load.min_volts)


def _short(facts: Facts, ref: str, least: float) -> Most | None:
    """The best that a controller gets if that is too little; else the worst in a situation that feeds it by wire."""
    best = facts.working.most_volts_supplied(ref)
    if best.value < least:
        return best
    found = (
        Most(facts.working.across(solved.point, ref), solved.setting.name)
        for solved in facts.working.with_cell("fresh")
        if facts.working.across(solved.point, ref) < least and facts.working.powered(solved, ref)
    )
    return min(found, key=lambda one: one.value, default=None)


def _finding(facts: Facts, ref: str, got: Most, least: float) -> Finding:
    text = msg(
        "{part} gets only {volts} V. It needs {least} V to work.",
        part=ref,
        volts=volts(max(got.value, 0.0), beside=least),
        least=volts(least),
    )
    fix = msg("Use a stronger battery, shorter lines, or fewer parts at once.")
    return Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(got.situation,))
