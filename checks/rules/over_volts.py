"""A board must not get more volts than it can take.

Why: too many volts break a board for good.

Wrong: a pack of 4.8 V feeds a board that takes 3.6 V at most.

Right: a battery of 3 V feeds it.

How to mend: use a battery with fewer volts, or a board that can take more.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import volts
from checks.findings import Finding, Level
from projects.circuit.part_types import Controller
from projects.circuit.text import msg

ID = "over-volts"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a controller: its supply in the fresh situation that gives it most."""
    for ref, board in facts.working.parts(Controller):
        most = facts.working.most_volts_supplied(ref)
        if most.value > board.max_volts:
            got, limit = volts(most.value, beside=board.max_volts), volts(board.max_volts)
            text = msg("{part} gets {volts} V. It can take {limit} V at most.", part=ref, volts=got, limit=limit)
            fix = msg("Use a battery with fewer volts, or a board that can take more.")
            yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(most.situation,))
