"""All metal holes that belong together must be joined by thread.

Why: current needs a way all round. One gap, and the light stays dark.

Wrong: the + of the battery must be joined to the + of the light, but there is no line.

Right: a line runs from the one to the other. It may pass other holes that belong to them.

How to mend: sew the line that is missing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from checks.compare import Open
from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import Message, msg

ID = "open"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a connection; what only comes from a part the wrong way round is left out."""
    for found in facts.comparison.opens:
        if found.connection not in facts.reversal.opens:
            apart = tuple(terminal for island in found.islands[1:] for terminal in island)
            first, second = _gap(facts, found)
            at = tuple(facts.laid_out.spots[terminal] for terminal in (first, second))
            text, fix = _texts(facts, found, first, second)
            yield Finding(ID, LEVEL, text, fix, at=at, connections=(found.connection,), terminals=apart)


def _texts(facts: Facts, found: Open, first: str, second: str) -> tuple[Message, Message]:
    one, other = facts.label(first), facts.label(second)
    if len(found.islands) == 2:
        text = msg("{one} and {other} are not joined.", one=one, other=other)
    else:
        names = facts.labels(island[0] for island in found.islands)
        text = msg("These are not joined: {names}.", names=names)
    if facts.laid_out.spots[first].piece != facts.laid_out.spots[second].piece:
        return text, msg("Join {one} to {other}. They lie on two pieces, so cross the seam.", one=one, other=other)
    return text, msg("Sew a line from {one} to {other}.", one=one, other=other)


def _gap(facts: Facts, found: Open) -> tuple[str, str]:
    """The two nearest terminals of the first island and any other, on one piece if there are such."""
    spots = facts.laid_out.spots

    def width(pair: tuple[str, str]) -> tuple[bool, float]:
        one, other = spots[pair[0]], spots[pair[1]]
        return (one.piece != other.piece, math.dist((one.x, one.y), (other.x, other.y)))

    return min(((a, b) for a in found.islands[0] for island in found.islands[1:] for b in island), key=width)
