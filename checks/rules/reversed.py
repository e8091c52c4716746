"""A light, a board or a battery must sit the right way round.

Why: current runs from + to −. A light lets it pass one way only. A board may break when it is fed the wrong way.

Wrong: the line from the + of the battery leads to the − of the light.

Right: + leads to +, and − leads to −.

How to mend: turn the part half round, or swap the two lines at its ends.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "reversed"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a part that is the cause."""
    for ref in facts.reversal.parts:
        spot = facts.spot_of(ref)
        text = msg("{part} is the wrong way round. Its + and − are swapped.", part=ref)
        fix = msg("Turn {part} half round, or swap the lines at its + and −.", part=ref)
        if ref in facts.reversal.in_circuit:
            fix = msg("Your list of what must be joined has it so too. Swap + and − of {part} in it.", part=ref)
        yield Finding(ID, LEVEL, text, fix, at=(spot,) if spot else (), parts=(ref,))
