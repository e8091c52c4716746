"""What each controller pin is used for."""

from __future__ import annotations

from collections.abc import Mapping

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.part_types import Ability, Terminal
from projects.circuit.project import PinUse

__all__ = ["NEEDS", "use_pin", "uses_of"]

NEEDS: Mapping[PinUse, Ability] = {
    "output": "digital",
    "fade": "pwm",
    "input": "digital",
    "input-pull-up": "digital",
    "analog": "analog",
    "touch": "touch",
}
"""The ability that each use of a pin needs."""


def uses_of(terminal: Terminal) -> tuple[PinUse, ...]:
    """What a pin may be used for, by its abilities."""
    return tuple(use for use, ability in NEEDS.items() if ability in terminal.can)


def use_pin(document: Document, pin: str, use: PinUse | None) -> Document:
    """The pin used for that; None: for nothing."""
    pins = {name: one for name, one in document.project.pins.items() if name != pin}
    if use is not None:
        pins[pin] = use
    return with_project(document, pins=pins)
