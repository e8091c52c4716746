"""No light may get more than twice the current that it can bear.

Why: too much current makes a light so hot that it breaks.

Wrong: a light without a resistor sits on a strong battery pack.

Right: a resistor in the line keeps the current small.

How to mend: put a resistor in the line of the light, or use a weaker battery.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps
from checks.findings import Finding, Level
from projects.circuit.part_types import Led
from projects.circuit.text import msg

ID = "over-current"
LEVEL: Level = "stop"

TIMES = 2.0


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a light, at the fresh situation in which most runs through it."""
    for ref, light in facts.working.parts(Led):
        most = facts.working.most_amps(ref)
        if most.value > TIMES * light.max_amps:
            text = msg(
                "{amps} mA runs through {part}. It can bear {limit} mA. It will break.",
                amps=milliamps(most.value),
                part=ref,
                limit=milliamps(light.max_amps),
            )
            fix = msg("Put a resistor in its line, or use a weaker battery.")
            yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(most.situation,))
