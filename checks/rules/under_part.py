"""No thread may run beneath a part with a bare metal back.

Why: the back of a battery holder or board is metal. Thread beneath it touches the metal and joins what must not be
joined. You can not see or mend it once the part is sewn on.

Wrong: a line takes the short way beneath the battery holder.

Right: the line goes round the holder.

How to mend: add bends to the line so that it goes round.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "under-part"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a line and part: more than 0.1 mm of the line strictly inside the body, on either side."""
    for found in facts.beneath:
        if found.body.part_type.no_sew:
            text = msg("The line {line} runs under {part}.", line=facts.line(found.line), part=found.body.ref)
            fix = msg("Sew round {part}, not under it. Its back is bare metal.", part=found.body.ref)
            yield Finding(ID, LEVEL, text, fix, at=(found.spot,), parts=(found.body.ref,), lines=(found.line,))
