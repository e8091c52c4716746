"""Where the whole circuit is a kit's own: parts put in and taken out, holes joined and set free, uses of pins."""

from __future__ import annotations

from typing import Any, get_args

from projects.circuit.document import Document
from projects.circuit.editing.connections import join, take_out
from projects.circuit.editing.parts import add_part, known_types, remove_part
from projects.circuit.editing.pins import use_pin, uses_of
from projects.circuit.part_types import Cell
from projects.circuit.project import PinUse
from projects.forms.circuit import USES, terminal_choices
from projects.forms.edit import type_choices

__all__ = ["change_freely", "free_choices"]


def change_freely(document: Document, action: str, part: str, choice: str) -> Document:
    """One edit of the circuit; may raise Refusal. `part` and `choice` are names that were typed or chosen."""
    match action:
        case "add":
            return add_part(document, choice)
        case "remove":
            return remove_part(document, part)
        case "join":
            here = document.project.connection_of(part)
            together = here is not None and here == document.project.connection_of(choice)
            return document if together else join(document, part, choice)
        case "apart":
            return take_out(document, part)
        case "pin":
            use: PinUse | None = next((one for one in get_args(PinUse) if one == choice), None)
            return use_pin(document, part, use)
    return document


def free_choices(document: Document) -> dict[str, Any]:
    """What the page offers: part types in groups, parts, holes by part, joined holes, pins with what they can do."""
    project = document.project
    known = known_types(project)
    has_cell = any(isinstance(known[part.type].model, Cell) for part in project.parts)
    types = {name: one for name, one in known.items() if not (has_cell and isinstance(one.model, Cell))}
    holes = terminal_choices(document)
    pins = []
    for part in project.parts:
        for terminal in known[part.type].terminals:
            if able := [(use, USES[use]) for use in uses_of(terminal)]:
                name = f"{part.ref}.{terminal.name}"
                pins.append((name, f"{part.ref} ({terminal.label or terminal.name})", able, project.pins.get(name, "")))
    return {
        "types": type_choices(types),
        "parts": [part.ref for part in project.parts],
        "holes": holes,
        "joined": [(name, words) for _part, rows in holes for name, words in rows if project.connection_of(name)],
        "pins": pins,
    }
