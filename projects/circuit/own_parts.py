"""Fewer lights than the project has: a learner's own circuit may leave one out, and take it back."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.connections import remove_connection, set_connection
from projects.circuit.editing.parts import add_part, known_types, remove_part
from projects.circuit.editing.pins import use_pin
from projects.circuit.names import refuse_unknown
from projects.circuit.part_types import Led
from projects.circuit.project import Project
from projects.circuit.refusal import Refusal, quoted
from projects.circuit.text import msg

__all__ = ["leave_out", "lights_of", "take_back"]


def lights_of(project: Project) -> tuple[str, ...]:
    """Refs of the lights, in the order of the parts."""
    known = known_types(project)
    return tuple(part.ref for part in project.parts if isinstance(known[part.type].model, Led))


def leave_out(document: Document, ref: str) -> Document:
    """Without that light, its place and the lines to it; refused for the last light and for other parts.

    What then joins nothing goes too: a connection with one terminal left, and the use of a pin that drove this light.
    """
    lights = lights_of(document.project)
    if ref not in lights:
        raise Refusal("project.parts", msg("{name} is no light", name=quoted(ref)), msg("a light of this circuit"))
    if len(lights) == 1:
        raise Refusal("project.parts", msg("{ref} is the only light", ref=ref), msg("at least one light"))
    touched = {document.project.connection_of(one) for one in _terminals_of(document.project, ref)}
    left = remove_part(document, ref)
    for connection in left.project.connections:
        if connection.name in touched and len(connection.terminals) == 1:
            left = use_pin(remove_connection(left, connection.name), connection.terminals[0], None)
    return left


def take_back(document: Document, original: Project, ref: str) -> Document:
    """With a light of the original again, joined to what it is joined to there as far as that is still there."""
    refuse_unknown(ref, lights_of(original), "project.parts", msg("part"))
    type_name = next(part.type for part in original.parts if part.ref == ref)
    grown = add_part(document, type_name, ref)
    there = {part.ref for part in grown.project.parts}
    for connection in original.connections:
        if not any(_part(one) == ref for one in connection.terminals):
            continue
        mine = tuple(one for one in connection.terminals if _part(one) == ref)
        others = [one for one in connection.terminals if _part(one) in there - {ref}]
        held = (grown.project.connection_of(one) for one in others)
        name = next((one for one in held if one is not None), connection.name)
        now = next((one.terminals for one in grown.project.connections if one.name == name), tuple(others))
        grown = set_connection(grown, name, (*now, *mine))
    for terminal, use in original.pins.items():
        if any(_part(one) == ref for one in _joined_with(original, terminal)) and terminal not in grown.project.pins:
            grown = use_pin(grown, terminal, use)
    if ref in original.swaps:
        grown = with_project(grown, swaps={**grown.project.swaps, ref: original.swaps[ref]})
    return grown


def _terminals_of(project: Project, ref: str) -> tuple[str, ...]:
    return tuple(one for connection in project.connections for one in connection.terminals if _part(one) == ref)


def _joined_with(project: Project, terminal: str) -> tuple[str, ...]:
    return next((one.terminals for one in project.connections if terminal in one.terminals), ())


def _part(terminal: str) -> str:
    return terminal.partition(".")[0]
