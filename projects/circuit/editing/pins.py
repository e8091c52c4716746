"""What each controller pin is used for."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.part_types import Terminal
from projects.circuit.project import PIN_NEEDS, PinUse

__all__ = ["use_pin", "uses_of"]


def uses_of(terminal: Terminal) -> tuple[PinUse, ...]:
    """What a pin may be used for, by its abilities."""
    return tuple(use for use, ability in PIN_NEEDS.items() if ability in terminal.can)


def use_pin(document: Document, pin: str, use: PinUse | None) -> Document:
    """The pin used for that; None: for nothing."""
    pins = {name: one for name, one in document.project.pins.items() if name != pin}
    if use is not None:
        pins[pin] = use
    return with_project(document, pins=pins)
