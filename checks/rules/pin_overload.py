"""The pins of a board can give only a little current.

Why: a pin that must give too much gets hot, and the board breaks.

Wrong: a motor is joined to a pin. It would draw 20 mA, and the pin can bear 10 mA.

Right: a light is joined to the pin. It draws 5 mA.

How to mend: use a part that draws less, or fewer parts on one pin.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.figures import milliamps
from checks.findings import Finding, Level
from checks.pins import is_able
from checks.working import Most
from projects.circuit.part_types import Controller
from projects.circuit.text import msg

ID = "pin-overload"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a pin over its limit, and one a controller whose pins together are over theirs; fresh cell."""
    for ref, board in facts.working.parts(Controller):
        # What is no pin at all is `wrong-pin`, and nothing more.
        uses = facts.project.pins.items()
        pins = [pin for pin, use in uses if pin.startswith(f"{ref}.") and is_able(facts.laid_out, pin, use)]
        for pin in pins:
            most = _most(facts, [pin])
            if most.value > board.pin_max_amps:
                yield _pin(facts, pin, most, board.pin_max_amps)
        most = _most(facts, pins)
        if most.value > board.total_max_amps:
            yield _all(facts, ref, most, board.total_max_amps)


def _most(facts: Facts, pins: list[str]) -> Most:
    """The most that these pins give or take together."""
    found = (
        Most(sum(abs(solved.situation.pin_amps.get(pin, 0.0)) for pin in pins), solved.setting.name)
        for solved in facts.working.with_cell("fresh")
    )
    return max(found, key=lambda one: one.value, default=Most(0.0, ""))


def _pin(facts: Facts, pin: str, most: Most, limit: float) -> Finding:
    text = msg(
        "{amps} mA would run through {hole}. It can bear {limit} mA.",
        amps=milliamps(most.value, beside=limit),
        hole=facts.label(pin),
        limit=milliamps(limit),
    )
    fix = msg("Join a part that draws less to it, or fewer parts.")
    spot = facts.laid_out.spots.get(pin)
    at, ref = (spot,) if spot else (), pin.partition(".")[0]
    return Finding(ID, LEVEL, text, fix, at=at, parts=(ref,), terminals=(pin,), situations=(most.situation,))


def _all(facts: Facts, ref: str, most: Most, limit: float) -> Finding:
    text = msg(
        "All pins of {part} give {amps} mA in all. The board can bear {limit} mA.",
        part=ref,
        amps=milliamps(most.value, beside=limit),
        limit=milliamps(limit),
    )
    fix = msg("Join fewer parts to its pins.")
    return Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), situations=(most.situation,))
