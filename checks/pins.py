"""What the pins of controllers do: which uses count, which drive a pin, and what a pin must be able to do for them.

A project may give a use to what is no pin: a terminal of another part, or a controller's own supply. That is
`wrong-pin`, and drives nothing.
"""

from __future__ import annotations

from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Controller
from projects.circuit.project import PIN_NEEDS, PinUse

__all__ = ["DRIVEN", "NEEDS", "driven_pins", "is_able", "is_pin", "uses_of"]

DRIVEN: tuple[PinUse, ...] = ("output", "fade")
"""Uses of a pin that drive it low or high."""

NEEDS = PIN_NEEDS


def is_pin(laid_out: LaidOut, terminal: str) -> bool:
    """Whether it is a terminal of a controller other than its supply."""
    ref, _, name = terminal.partition(".")
    part_type = laid_out.types[ref]
    return isinstance(part_type.model, Controller) and part_type.terminal(name).role not in ("positive", "negative")


def is_able(laid_out: LaidOut, terminal: str, use: PinUse) -> bool:
    """Whether it is a pin that can be used so."""
    ref, _, name = terminal.partition(".")
    return is_pin(laid_out, terminal) and NEEDS[use] in laid_out.types[ref].terminal(name).can


def uses_of(laid_out: LaidOut) -> dict[str, PinUse]:
    """The use of each pin, in the order of the project's list; able to do it or not."""
    return {pin: use for pin, use in laid_out.project.pins.items() if is_pin(laid_out, pin)}


def driven_pins(laid_out: LaidOut) -> tuple[str, ...]:
    """Pins that are driven, in the order of parts and of their terminals."""
    uses = uses_of(laid_out)
    return tuple(terminal for terminal in laid_out.terminals() if uses.get(terminal) in DRIVEN)
