"""Each light must be lit at some time.

Why: a light needs some volts before it lets current through. If two lights share the volts of one coin battery in
one row, both stay dark.

Wrong: two white lights lie one after the other on the same way from + to −.

Right: each light has its own way from + to −.

How to mend: give each light its own way to + and to −, or use a stronger battery.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps
from checks.findings import Finding, Level
from projects.circuit.part_types import Led
from projects.circuit.text import Message, msg

ID = "never-lit"
LEVEL: Level = "stop"

_LEAST_AMPS = 1e-6


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a light that is dark whatever the switches, outputs and sensors, with a fresh cell."""
    dark = facts.project.settings.dark_amps
    for ref, _ in facts.working.parts(Led):
        best = facts.working.ever_amps(ref, dark)
        if best.value < dark:
            where = facts.spots_of(ref)
            yield Finding(ID, LEVEL, *_texts(ref, best.value), at=where, parts=(ref,), situations=(best.situation,))


def _texts(ref: str, amps: float) -> tuple[Message, Message]:
    if amps < _LEAST_AMPS:
        text = msg("{part} is always dark. No current runs through it.", part=ref)
    else:
        text = msg("{part} is always dark. Only {amps} mA runs through it.", part=ref, amps=milliamps(amps))
    return text, msg("Give {part} its own way from + to −, or use a stronger battery.", part=ref)
