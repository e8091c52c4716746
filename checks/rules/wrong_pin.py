"""Each pin of a board can do some jobs and not others.

Why: only some pins can fade a light, feel a touch or read a sensor. The board does not do what you want on the
wrong pin.

Wrong: pin 3 must fade a light, but it can only switch it on and off.

Right: pin 1 fades the light.

How to mend: use a pin that can do the job.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.pins import NEEDS, is_able
from projects.circuit.part_types import Controller
from projects.circuit.project import PinUse
from projects.circuit.text import Message, msg

ID = "wrong-pin"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a pin whose use it can not do, or a use of something that is no pin of a controller.

    A pin that a connection joins but that has no use is no finding: a board may be programmed later, and a light
    that stays dark for it is `never-lit`.
    """
    for terminal, use in facts.project.pins.items():
        if is_able(facts.laid_out, terminal, use):
            continue
        ref = terminal.partition(".")[0]
        board = isinstance(facts.laid_out.types[ref].model, Controller)
        text = msg("{hole} can not do “{use}”.", hole=facts.label(terminal), use=use)
        spot = facts.laid_out.spots.get(terminal)
        fix = _fix(facts, ref, use) if board else msg("Only the pins of a board can. Take it out of the list of pins.")
        yield Finding(ID, LEVEL, text, fix, at=(spot,) if spot else (), parts=(ref,), terminals=(terminal,))


def _fix(facts: Facts, ref: str, use: PinUse) -> Message:
    good = [one for one in facts.laid_out.types[ref].terminals if NEEDS[use] in one.can]
    if not good:
        return msg("No pin of {part} can. Use a different board.", part=ref)
    pins = facts.labels(f"{ref}.{one.name}" for one in good)
    return msg("These can: {pins}.", pins=pins)
