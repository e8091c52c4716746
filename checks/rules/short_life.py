"""The battery should last as long as you want.

Why: the more current runs, the sooner the battery is flat.

Wrong: with all on, the battery lasts 41 hours at most. You want 60 hours.

Right: fewer things are on at once, and it lasts 80 hours.

How to mend: use fewer parts at once, parts that draw less, or a bigger battery.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import hours, milliamps
from checks.findings import Finding, Level
from projects.circuit.part_types import Cell
from projects.circuit.text import msg

ID = "short-life"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """At most one finding: the fresh situation that drains most, which is everything on."""
    wanted = facts.project.settings.hours
    for ref, cell in facts.working.parts(Cell):
        most = facts.working.most_amps(ref)
        lasts = cell.mah / (1000 * most.value) if most.value > 0 else None
        if lasts is not None and lasts < wanted:
            text = msg(
                "With all on, {amps} mA runs. {part} lasts {hours} hours at most. You want {wanted}.",
                amps=milliamps(most.value),
                part=ref,
                hours=hours(lasts, beside=wanted),
                wanted=hours(wanted),
            )
            fix = msg("Use parts that draw less, fewer at once, or a bigger battery.")
            yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(most.situation,))
