"""A pin that listens needs something to listen to.

Why: if no button and no sensor is joined to the pin, nothing can change what it reads.

Wrong: pin 2 is set to read a button, but no button is joined to it.

Right: a button lies between pin 2 and −.

How to mend: join a button or a sensor to the pin, or do not use the pin.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.pins import DRIVEN, is_pin
from projects.circuit.project import PinUse
from projects.circuit.text import msg

ID = "input-idle"
LEVEL: Level = "look"

_FELT_BY_HAND: tuple[PinUse, ...] = ("touch", "input-pull-up")
"""A finger, or a bare thread that is brought near, changes these: it is enough that the pin leads somewhere."""


def check(facts: Facts) -> Iterator[Finding]:
    """One finding an input that nothing can change: no switch, sensor or driven pin, and nothing to touch."""
    for terminal, use in facts.project.pins.items():
        ref = terminal.partition(".")[0]
        if use in DRIVEN or not is_pin(facts.laid_out, terminal):
            continue
        alive = facts.diagram.leads_on(terminal) if use in _FELT_BY_HAND else facts.diagram.feels(terminal)
        if not alive:
            text = msg("Nothing can change what {hole} reads.", hole=facts.label(terminal))
            fix = msg("Join a button or a sensor to it, or do not use it.")
            spot = facts.laid_out.spots.get(terminal)
            yield Finding(ID, LEVEL, text, fix, at=(spot,) if spot else (), parts=(ref,), terminals=(terminal,))
