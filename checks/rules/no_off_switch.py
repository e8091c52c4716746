"""Without a switch the battery is always on.

Why: current runs day and night, and the battery is soon flat.

Wrong: the light is joined to both sides of the battery, and no switch lies between.

Right: a switch lies in the line.

How to mend: put a switch in the first line from the battery. Or take the battery out when you are done.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps
from checks.findings import Finding, Level
from checks.setting import Setting
from checks.situations import LEAST_AMPS
from checks.working import Most
from projects.circuit.part_types import Cell, Switch
from projects.circuit.text import msg

ID = "no-off-switch"
LEVEL: Level = "note"


def check(facts: Facts) -> Iterator[Finding]:
    """At most one finding: whatever the switches, with nobody pressing a button, the cell gives more than 1 µA."""
    for ref, _ in facts.working.parts(Cell):
        least = min(_at_rest(facts, ref), key=lambda one: one.value, default=None)
        if least is not None and least.value >= LEAST_AMPS:
            text = msg(
                "Nothing turns {part} off. {amps} mA or more runs all the time.",
                part=ref,
                amps=milliamps(least.value),
            )
            fix = msg("Add a switch, or take the battery out when you are done.")
            yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(least.situation,))


def _at_rest(facts: Facts, cell: str) -> Iterator[Most]:
    """What the cell gives in each fresh situation in which all that springs back is at rest."""
    springs = {ref: switch.positions[0].name for ref, switch in facts.working.parts(Switch) if switch.momentary}
    for solved in facts.working.with_cell("fresh"):
        if all(solved.setting.choices[ref] == rest for ref, rest in springs.items()):
            yield Most(solved.point.amps[cell], solved.setting.name)
    if not facts.situations.all_of_them:
        # The report was cut to single changes, so all switches at their first position may not be among them.
        off = {ref: switch.positions[0].name for ref, switch in facts.working.parts(Switch)}
        setting = Setting({**facts.situations.settings[0].choices, **off}, "fresh")
        (point,) = facts.situations.points([setting])
        if point.converged:
            yield Most(point.amps[cell], setting.name)
