"""Thread should not run beneath other parts, and parts should not lie back to back.

Why: you can not see the thread there, and it may touch the part. Two parts back to back are hard to sew on.

Wrong: a line runs beneath a light that it does not lead to.

Right: the line goes round the light.

How to mend: add a bend to the line, or move the part.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "over-part"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a line and part, as `under-part`, but for parts it does not end at; one a pair back to back."""
    for found in facts.beneath:
        ref = found.body.ref
        ends = facts.parts_of[found.line]
        # Lines of a part that lies back to back with this one come from that alone.
        if not found.body.part_type.no_sew and ref not in ends and not _behind(facts, ref, ends):
            text = msg("The line {line} runs under {part}.", line=facts.line(found.line), part=ref)
            fix = msg("Sew round {part} if you can.", part=ref)
            yield Finding(ID, LEVEL, text, fix, at=(found.spot,), parts=(ref,), lines=(found.line,))
    for (first, second), spot in facts.back_to_back.items():
        text = msg("{first} and {second} lie back to back.", first=first, second=second)
        fix = msg("Move one of them if you can.")
        yield Finding(ID, LEVEL, text, fix, at=(spot,), parts=(first, second))


def _behind(facts: Facts, ref: str, ends: frozenset[str]) -> bool:
    return any({ref, end} == set(pair) for end in ends for pair in facts.back_to_back)
