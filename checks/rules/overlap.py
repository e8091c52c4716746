"""No two parts may share the same place.

Why: parts that lie on top of each other can not both be sewn on, and their metal holes may touch.

Wrong: a light lies half on the battery holder, on the same side of the fabric.

Right: there is a gap between all parts.

How to mend: move one of the two parts away.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "overlap"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a pair of parts."""
    for (first, second), spot in facts.overlaps.items():
        text = msg("{first} and {second} lie on top of each other.", first=first, second=second)
        fix = msg("Move {first} or {second} away.", first=first, second=second)
        yield Finding(ID, LEVEL, text, fix, at=(spot,), parts=(first, second))
