"""A light should not get more current than it can bear for long.

Why: it shines, but it gets warm and does not last. It also drains the battery.

Wrong: a light on a strong battery pack gets 30 mA. It can bear 20 mA.

Right: it gets 20 mA or less.

How to mend: put a resistor in the line of the light, or use a weaker battery.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps
from checks.findings import Finding, Level
from checks.rules.over_current import TIMES
from projects.circuit.part_types import Led
from projects.circuit.text import msg

ID = "bright"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a light, fresh cell; past twice its limit it is `over-current` instead."""
    for ref, light in facts.working.parts(Led):
        most = facts.working.most_amps(ref)
        if light.max_amps < most.value <= TIMES * light.max_amps:
            text = msg(
                "{amps} mA runs through {part}. {limit} mA is the most for a long life.",
                amps=milliamps(most.value, beside=light.max_amps),
                part=ref,
                limit=milliamps(light.max_amps),
            )
            fix = msg("Put a resistor in its line, or use a weaker battery.")
            yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(most.situation,))
