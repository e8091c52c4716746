"""Metal holes that you do not use should have no thread on them.

Why: thread on such a hole joins your circuit to a part of the board that may do something else.

Wrong: a line runs over a hole of the board that your plan does not use.

Right: the line keeps away from it. To hold the board, use plain thread.

How to mend: move the line away from the hole.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "stray"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a terminal with thread that, like all its mates inside the part, belongs to no connection."""
    for terminal, lines in facts.sewn.threads_at.items():
        if terminal not in facts.intent.net_of:
            text = msg("{hole} is not in use, but thread is on it.", hole=facts.label(terminal))
            off = msg("Take the line {lines} off it.", lines=facts.lines(lines))
            fix = msg("{off} To hold the part, use plain thread.", off=off)
            part = terminal.partition(".")[0]
            spot = facts.laid_out.spots[terminal]
            yield Finding(ID, LEVEL, text, fix, at=(spot,), parts=(part,), lines=lines, terminals=(terminal,))
