"""Lines that must not touch should keep a gap.

Why: stitches wander, and fabric folds. Lines that lie close may touch later.

Wrong: a + line and a − line run side by side, 3 mm apart.

Right: there are 5 mm or more between them.

How to mend: move the bends of one line away from the other, or sew a cover between them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.sewn import CloseLines
from checks.touching import SLACK_MM
from projects.circuit.text import msg

ID = "too-close"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a pair of lines that the thread does not join and that are not meant to be joined.

    Only lines count, not lines against bare terminals: thread at an anchor starts at the terminal's middle, so
    a line too close to it is too close to that thread. Lines that leave neighbouring terminals of one part may come
    as close as those are.
    """
    pairs: dict[tuple[str, str], list[CloseLines]] = {}
    for close in facts.close_lines:
        if _unlike(facts, close) and close.stretch.distance_mm < _allowed(facts, close):
            pairs.setdefault((close.line, close.other), []).append(close)
    for lines, some in pairs.items():
        nearest = min(one.stretch.distance_mm for one in some)
        text = msg(
            "The lines {lines} are too close. They lie {mm} mm apart.", lines=facts.lines(lines), mm=f"{nearest:.1f}"
        )
        fix = msg("Keep them {mm} mm apart.", mm=f"{facts.project.spacing:g}")
        owners = sorted(facts.intent.owner(lines[0]) | facts.intent.owner(lines[1]))
        at = tuple(close.spot for close in some)
        yield Finding(ID, LEVEL, text, fix, at=at, lines=lines, connections=tuple(owners))


def _unlike(facts: Facts, close: CloseLines) -> bool:
    """Whether the two lines are meant to be apart."""
    owners = facts.intent.owner(close.line)
    return not owners or owners != facts.intent.owner(close.other)


def _allowed(facts: Facts, close: CloseLines) -> float:
    """How close these two may come: the spacing, or less where they leave terminals of one part that are closer."""
    gaps = [facts.project.spacing]
    for one in facts.terminals_of[close.line]:
        for other in facts.terminals_of[close.other]:
            if one != other and one.partition(".")[0] == other.partition(".")[0]:
                a, b = facts.laid_out.spots[one], facts.laid_out.spots[other]
                if a.piece == b.piece:
                    gaps.append(math.dist((a.x, a.y), (b.x, b.y)))
    return min(gaps) - SLACK_MM
