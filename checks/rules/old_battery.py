"""With an old battery some things stop before others.

Why: a battery gives fewer volts as it gets old. White, blue and green lights go dim first.

Wrong: your white light shines now, but it will go dim while the battery is not yet flat.

Right: a red or yellow light needs fewer volts. It shines longer.

How to mend: nothing is wrong. Try a new battery first when something goes dim.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps, volts
from checks.findings import Finding, Level
from checks.working import Most
from projects.circuit.part_types import Controller, Led, Load
from projects.circuit.text import Message, msg

ID = "old-battery"
LEVEL: Level = "note"


def check(facts: Facts) -> Iterator[Finding]:
    """At most two findings: lights that go dim, and parts that stop, with a used cell though not with a fresh one."""
    lights = dict(_lights(facts))
    if lights:
        names = ", ".join(f"{ref} ({milliamps(max(best.value, 0.0))} mA)" for ref, best in lights.items())
        text = msg("With an old battery these get dim or dark: {parts}.", parts=names)
        yield _finding(facts, text, lights)
    others = dict(_others(facts))
    if others:
        names = ", ".join(f"{ref} ({volts(best.value)} V)" for ref, best in others.items())
        text = msg("With an old battery these may stop: {parts}.", parts=names)
        yield _finding(facts, text, others)


def _lights(facts: Facts) -> Iterator[tuple[str, Most]]:
    dim = facts.project.settings.dim_amps
    for ref, _ in facts.working.parts(Led):
        used = facts.working.most_amps(ref, "used")
        if used.value < dim <= facts.working.most_amps(ref).value:
            yield ref, used


def _others(facts: Facts) -> Iterator[tuple[str, Most]]:
    working = facts.working
    for ref, board in working.parts(Controller):
        used = working.most_volts_supplied(ref, "used")
        if used.value < board.min_volts <= working.most_volts_supplied(ref).value:
            yield ref, used
    for ref, load in working.parts(Load):
        used = working.most_volts(ref, "used")
        if used.value < load.min_volts <= working.most_volts(ref).value:
            yield ref, used


def _finding(facts: Facts, text: Message, found: dict[str, Most]) -> Finding:
    fix = msg("Nothing to mend. Try a new battery first when they do.")
    at = tuple(spot for ref in found for spot in facts.spots_of(ref))
    situations = tuple(dict.fromkeys(best.situation for best in found.values()))
    return Finding(ID, LEVEL, text, fix, at=at, parts=tuple(found), situations=situations)
