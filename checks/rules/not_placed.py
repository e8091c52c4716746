"""Each part needs a place on the fabric.

Why: a part that lies nowhere can not be sewn on.

Wrong: your list has a light L1, but your plan does not show it.

Right: each part of your list lies on the fabric.

How to mend: put the part on the fabric.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "not-placed"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a part; for a part that is placed in halves, about the halves that lie nowhere."""
    for part in facts.project.parts:
        terminals = [f"{part.ref}.{terminal.name}" for terminal in facts.laid_out.types[part.ref].terminals]
        missing = tuple(terminal for terminal in terminals if terminal not in facts.laid_out.spots)
        if len(missing) == len(terminals):
            text = msg("{part} has no place yet.", part=part.ref)
            yield Finding(ID, LEVEL, text, msg("Put {part} on the fabric.", part=part.ref), parts=(part.ref,))
        elif missing:
            names = facts.labels(missing)
            text = msg("{holes} has no place yet.", holes=names)
            fix = msg("Put {holes} on the fabric.", holes=names)
            yield Finding(ID, LEVEL, text, fix, parts=(part.ref,), terminals=missing)
