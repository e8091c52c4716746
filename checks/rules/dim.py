"""A light should shine well, not just glow.

Why: long thread, a resistor or a board's pin in the way leave little current. You see the light in the dark only.

Wrong: a white light has a big resistor in its line. Only 0.3 mA runs through it.

Right: without the resistor 2 mA runs, and the light shines.

How to mend: shorten its lines, take out a resistor, or use a red or yellow light. They need fewer volts.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps
from checks.findings import Finding, Level
from projects.circuit.part_types import Led
from projects.circuit.text import msg

ID = "dim"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a light that is dim at its brightest, fresh cell; darker than dim it is `never-lit` instead."""
    settings = facts.project.settings
    for ref, _ in facts.working.parts(Led):
        best = facts.working.ever_amps(ref, settings.dim_amps)
        if settings.dark_amps <= best.value < settings.dim_amps:
            text = msg("{part} is dim. Only {amps} mA runs through it.", part=ref, amps=milliamps(best.value))
            fix = msg("Shorten its lines, or use a red or yellow light. They need fewer volts.")
            yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(best.situation,))
