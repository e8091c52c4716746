"""Part types of the project's own: keep one, take one out, copy one, resize one."""

from __future__ import annotations

import json
from collections.abc import Mapping
from itertools import count

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.connections import without_terminals_of
from projects.circuit.editing.layouts import without_terminals
from projects.circuit.editing.parts import known_types
from projects.circuit.part_types import Circle, PartType, Rectangle
from projects.circuit.project import Project
from projects.circuit.project_file import read
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import msg

__all__ = ["fresh_type", "put_part_type", "read_part_type", "remove_part_type", "resized"]

_PLAIN = {
    "title": "x",
    "pieces": [{"name": "x", "outline": [[0, 0], [90, 0], [90, 90]]}],
    "parts": [],
    "connections": [],
}


def read_part_type(value: Mapping[str, object]) -> PartType:
    """A part type from JSON values, read with every check of a project file. Raises Refusal."""
    whole = {"format": "tieoff/1", "project": {**_PLAIN, "part_types": [value]}}
    return read(json.dumps(whole).encode()).project.part_types[0]


def fresh_type(project: Project, like: str) -> str:
    """A name for an own type that is still free, after the one it is copied from."""
    known = known_types(project)
    stem = f"own-{like.removeprefix('own-')}"[:28].rstrip("-")
    names = (stem if number == 1 else f"{stem}-{number}" for number in count(1))
    return next(name for name in names if name not in known)


def put_part_type(document: Document, part_type: PartType, old_name: str = "") -> Document:
    """Keep this own part type, in place of the one that was called `old_name` if there was one.

    Connections and lines of its parts stay where the terminals still have their names; at others they go.
    """
    project = document.project
    own = list(project.part_types)
    at = next((i for i, one in enumerate(own) if one.type == old_name), None)
    if at is None:
        return with_project(document, part_types=(*own, part_type))
    before, own[at] = own[at], part_type
    lost = {one.name for one in before.terminals} - {one.name for one in part_type.terminals}
    gone = frozenset(f"{part.ref}.{name}" for part in project.parts if part.type == old_name for name in lost)
    return with_project(
        without_terminals_of(document, lambda terminal: terminal in gone),
        layout=without_terminals(document.layout, gone),
        part_types=tuple(own),
        parts=tuple(
            one.model_copy(update={"type": part_type.type}) if one.type == old_name else one for one in project.parts
        ),
        swaps={
            ref: tuple(dict.fromkeys(part_type.type if name == old_name else name for name in names))
            for ref, names in project.swaps.items()
        },
    )


def remove_part_type(document: Document, name: str) -> Document:
    """Without that own part type; refused while a part or a swap is of it."""
    project = document.project
    place = "project.part_types"
    if name not in [own.type for own in project.part_types]:
        wrong = msg("there is no own part type {name}", name=quoted(name))
        raise Refusal(place, wrong, msg("{names}", names=listed(own.type for own in project.part_types)))
    users = [part.ref for part in project.parts if part.type == name]
    users += [ref for ref, types in project.swaps.items() if name in types]
    left = with_project(document, part_types=tuple(own for own in project.part_types if own.type != name))
    if users and name not in known_types(left.project):
        wrong = msg("{name} is still used by {refs}", name=quoted(name), refs=listed(users))
        raise Refusal(place, wrong, msg("a part type that no part uses"))
    return left


def resized(part_type: PartType, width: float, height: float) -> PartType:
    """The part type with a body of that width and height, mm; its terminals move with it.

    A round body takes the width as its diameter, and terminals keep their distance from its middle in proportion.
    """
    body = part_type.body
    if isinstance(body, Circle):
        across = down = width / body.diameter
        new: Circle | Rectangle = body.model_copy(update={"diameter": width})
        return _scaled(part_type, across, down, new)
    if isinstance(body, Rectangle):
        across, down = width / body.width, height / body.height
        return _scaled(part_type, across, down, body.model_copy(update={"width": width, "height": height}))
    xs, ys = [x for x, _ in body.points], [y for _, y in body.points]
    across, down = width / (max(xs) - min(xs)), height / (max(ys) - min(ys))
    points = tuple((_mm(x * across), _mm(y * down)) for x, y in body.points)
    return _scaled(part_type, across, down, body.model_copy(update={"points": points}))


def _scaled(part_type: PartType, across: float, down: float, body: object) -> PartType:
    terminals = tuple(
        one.model_copy(update={"x": _mm(one.x * across), "y": _mm(one.y * down)}) for one in part_type.terminals
    )
    return part_type.model_copy(update={"body": body, "terminals": terminals})


def _mm(value: float) -> float:
    return round(value, 2) + 0.0
