"""Parts: add one, take one out, rename it, make it of another type."""

from __future__ import annotations

from itertools import count

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.connections import without_terminals_of
from projects.circuit.editing.layouts import with_ends, without_parts, without_terminals
from projects.circuit.part_types import Cell, Controller, Led, Link, PartType, Resistor, Sensor, Switch
from projects.circuit.project import Part, Project
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import msg

__all__ = ["add_part", "change_type", "fresh_ref", "known_types", "remove_part", "rename_part"]


def known_types(project: Project) -> dict[str, PartType]:
    """Part types by name: built in, and the project's own, which win."""
    return {**catalogue(), **{own.type: own for own in project.part_types}}


def fresh_ref(project: Project, part_type: PartType | None) -> str:
    """A ref that is still free: the letter of its kind and the next number.

    B cell, L light, S switch, M controller, R resistor or sensor, X seam crossing, P anything else.
    """
    model = part_type.model if part_type else None
    letters = ((Cell, "B"), (Led, "L"), (Switch, "S"), (Controller, "M"), (Resistor, "R"), (Sensor, "R"), (Link, "X"))
    letter = next((letter for kind, letter in letters if isinstance(model, kind)), "P")
    taken = {part.ref for part in project.parts}
    return next(ref for number in count(1) if (ref := f"{letter}{number}") not in taken)


def add_part(document: Document, type_name: str, ref: str = "") -> Document:
    """One more part of that type; without a ref it gets a fresh one."""
    project = document.project
    part = Part.model_construct(ref=ref or fresh_ref(project, known_types(project).get(type_name)), type=type_name)
    return with_project(document, parts=(*project.parts, part))


def remove_part(document: Document, ref: str) -> Document:
    """Without that part: its terminals leave their connections, its place and its lines the layout."""
    project = document.project
    _known(project, ref)
    return with_project(
        without_terminals_of(document, lambda terminal: terminal.partition(".")[0] == ref),
        layout=without_parts(document.layout, frozenset([ref])),
        parts=tuple(part for part in project.parts if part.ref != ref),
        swaps={key: types for key, types in project.swaps.items() if key != ref},
    )


def rename_part(document: Document, ref: str, new_ref: str) -> Document:
    """The part under a new ref, everywhere."""
    project = document.project
    _known(project, ref)

    def renamed(terminal: str) -> str:
        of, dot, name = terminal.partition(".")
        return f"{new_ref}{dot}{name}" if of == ref else terminal

    layout = with_ends(document.layout, renamed)
    places = tuple(one.model_copy(update={"ref": new_ref}) if one.ref == ref else one for one in layout.places)
    return with_project(
        document,
        layout=layout.model_copy(update={"places": places}),
        parts=tuple(one.model_copy(update={"ref": new_ref}) if one.ref == ref else one for one in project.parts),
        pins={renamed(pin): use for pin, use in project.pins.items()},
        connections=tuple(
            one.model_copy(update={"terminals": tuple(map(renamed, one.terminals))}) for one in project.connections
        ),
        swaps={new_ref if key == ref else key: types for key, types in project.swaps.items()},
    )


def change_type(document: Document, ref: str, type_name: str) -> Document:
    """The part made of another type.

    Connections and lines at terminals that the new type has too are kept; those at others go.
    """
    project = document.project
    _known(project, ref)
    known = known_types(project)
    new = known.get(type_name)
    kept = {f"{ref}.{terminal.name}" for terminal in new.terminals} if new else set()
    old = known[next(part.type for part in project.parts if part.ref == ref)]
    gone = frozenset(f"{ref}.{terminal.name}" for terminal in old.terminals) - kept
    return with_project(
        without_terminals_of(document, lambda terminal: terminal in gone),
        layout=without_terminals(document.layout, gone),
        parts=tuple(one.model_copy(update={"type": type_name}) if one.ref == ref else one for one in project.parts),
    )


def _known(project: Project, ref: str) -> None:
    refs = [part.ref for part in project.parts]
    if ref not in refs:
        raise Refusal(
            "project.parts", msg("there is no part {ref}", ref=quoted(ref)), msg("{names}", names=listed(refs))
        )
