"""A learner's own circuit beside the project's: what differs, and whether the teacher allows it.

Two edits that learners make are here as well: another light from the list, and a switch put into a line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.connections import join, set_connection
from projects.circuit.editing.parts import add_part, change_type, known_types, remove_part
from projects.circuit.names import refuse_unknown
from projects.circuit.our_names import called
from projects.circuit.part_types import Switch
from projects.circuit.project import Connection, Project
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import Message, msg

__all__ = ["Difference", "differences", "not_allowed", "put_switch", "swap", "swaps_of", "take_switch_out"]

Kind = Literal["swapped", "part", "connection", "pin", "piece", "facts", "stages"]


@dataclass(frozen=True)
class Difference:
    """One thing that is otherwise: its kind, the part, connection or piece that it is about, and it in words."""

    kind: Kind
    about: str
    text: Message
    type_name: str = ""


def differences(original: Project, own: Project) -> tuple[Difference, ...]:
    """What is otherwise in `own`, in a fixed order: parts, connections, pins, fabric, facts, stages."""
    return (
        *_parts(original, own),
        *_connections(original, own),
        *_pins(original, own),
        *_pieces(original, own),
        *_facts(original, own),
    )


def not_allowed(original: Project, own: Project) -> tuple[Difference, ...]:
    """The differences that the original's `learner_may` and `swaps` do not allow.

    nothing, layout: none at all. choose: parts of a type that `swaps` lists for them. all: parts, connections and
    pins; fabric, thread, prices, settings and stages stay the teacher's.
    """
    may, found = original.learner_may, differences(original, own)
    if may in ("nothing", "layout"):
        return found
    circuit = ("swapped", "part", "connection", "pin")
    return tuple(
        one
        for one in found
        if not (
            (one.kind == "swapped" and one.type_name in original.swaps.get(one.about, ()))
            or (may == "all" and one.kind in circuit)
        )
    )


def swaps_of(original: Project) -> Mapping[str, tuple[str, ...]]:
    """What a learner may choose for each part, the teacher's own choice first; parts without a choice left out."""
    if original.learner_may not in ("choose", "all"):
        return {}
    types = {part.ref: part.type for part in original.parts}
    return {
        ref: tuple(dict.fromkeys((types[ref], *names)))
        for ref, names in original.swaps.items()
        if ref in types and names
    }


def swap(document: Document, ref: str, type_name: str) -> Document:
    """The part of another type; refused where that would lose a connection, since the terminals differ."""
    project = document.project
    refuse_unknown(ref, [part.ref for part in project.parts], "project.parts", msg("part"))
    refuse_unknown(type_name, known_types(project), "project.parts", msg("part type"))
    swapped = change_type(document, ref, type_name)
    if swapped.project.connections != project.connections:
        wrong = msg("{name} has other terminals than {ref}", name=quoted(type_name), ref=ref)
        raise Refusal("project.parts", wrong, msg("a part with the same terminals"))
    return swapped


def put_switch(document: Document, terminal: str, type_name: str = "slide-switch") -> Document:
    """A switch in the line that leads to a terminal.

    The terminal, with those joined to it inside its part, leaves its connection; the new switch stands between. Lines
    of the layout stay, so that nothing drawn is lost: what they short then is found by the check.
    """
    project = document.project
    name = project.connection_of(terminal)
    if name is None:
        wrong = msg("{terminal} is in no connection", terminal=quoted(terminal))
        raise Refusal("project.connections", wrong, msg("a terminal that something is joined to"))
    known = known_types(project)
    if type_name not in known or not isinstance(known[type_name].model, Switch):
        switches = (key for key, one in known.items() if isinstance(one.model, Switch))
        raise Refusal(
            "project.parts", msg("{name} is no switch", name=quoted(type_name)), msg("{n}", n=listed(switches))
        )
    terminals = next(one.terminals for one in project.connections if one.name == name)
    apart = _node_of(project, terminal)
    moved = tuple(one for one in terminals if one in apart)
    stay = tuple(one for one in terminals if one not in apart)
    if not stay:
        wrong = msg("{name} joins nothing else", name=quoted(name))
        raise Refusal("project.connections", wrong, msg("a connection that leads to another part"))
    grown = add_part(document, type_name)
    ref = grown.project.parts[-1].ref
    a, b = _ends(type_name, known[type_name].model, project)
    new = _fresh(project, f"{name}-{ref}")
    grown = set_connection(grown, name, (*stay, f"{ref}.{a}"))
    grown = with_project(
        grown,
        connections=(
            *grown.project.connections,
            Connection.model_construct(name=new, terminals=(f"{ref}.{b}", *moved)),
        ),
    )
    return with_project(grown, stages=_with_new(grown.project, name, new))


def take_switch_out(document: Document, ref: str) -> Document:
    """Without that switch, the connections on its two sides as one again; its place and lines to it go."""
    used = [
        terminal
        for one in document.project.connections
        for terminal in one.terminals
        if terminal.partition(".")[0] == ref
    ]
    sides = list(dict.fromkeys(document.project.connection_of(terminal) for terminal in used))
    joined = document
    if len(sides) == 2:
        joined = join(document, *(next(t for t in used if document.project.connection_of(t) == side) for side in sides))
    return remove_part(joined, ref)


def _node_of(project: Project, terminal: str) -> frozenset[str]:
    """The terminal with those joined to it inside its part."""
    ref, _, name = terminal.partition(".")
    part = next(part for part in project.parts if part.ref == ref)
    groups = known_types(project)[part.type].groups()
    return frozenset(f"{ref}.{one}" for group in groups if name in group for one in group)


def _ends(type_name: str, model: object, project: Project) -> tuple[str, str]:
    """Two terminals that some position of the switch joins."""
    assert isinstance(model, Switch)
    for position in model.positions:
        for pair in position.joins:
            return pair
    raise Refusal(
        "project.parts", msg("{name} never closes", name=quoted(type_name)), msg("a switch with a position that joins")
    )


def _fresh(project: Project, like: str) -> str:
    taken = {one.name for one in project.connections}
    names = (like[:32], *(f"{like[:28]}-{number}" for number in range(2, 2 + len(taken) + 1)))
    return next(name for name in names if name not in taken)


def _with_new(project: Project, old: str, new: str) -> tuple[object, ...]:
    """Stages: what sews the old connection sews the new one too, so that a teacher's stages stay whole."""
    return tuple(
        stage.model_copy(
            update={
                "connections": tuple(n for name in stage.connections for n in ((name, new) if name == old else (name,)))
            }
        )
        for stage in project.stages
    )


def _parts(original: Project, own: Project) -> Iterable[Difference]:
    before, after = ({part.ref: part.type for part in one.parts} for one in (original, own))
    names = {**_names(original), **_names(own)}
    for ref, type_name in before.items():
        if ref not in after:
            yield Difference("part", ref, msg("{ref} ({name}) is left out", ref=ref, name=names[type_name]))
        elif after[ref] != type_name:
            words = msg("{ref} is {new}, not {old}", ref=ref, new=names[after[ref]], old=names[type_name])
            yield Difference("swapped", ref, words, after[ref])
    for ref, type_name in after.items():
        if ref not in before:
            yield Difference("part", ref, msg("{ref} ({name}) is added", ref=ref, name=names[type_name]), type_name)
    old_types, new_types = ({one.type: one for one in project.part_types} for project in (original, own))
    for name in dict.fromkeys((*old_types, *new_types)):
        if old_types.get(name) != new_types.get(name):
            yield Difference("facts", name, msg("the part type {name} is otherwise", name=names.get(name, name)))


def _names(project: Project) -> dict[str, Message]:
    return {key: called(one.name) for key, one in known_types(project).items()}


def _connections(original: Project, own: Project) -> Iterable[Difference]:
    """Compared as sets of terminals: a new name or order alone changes nothing that is sewn."""
    before, after = ({frozenset(one.terminals): one for one in project.connections} for project in (original, own))
    for terminals, connection in before.items():
        if terminals not in after:
            words = msg(
                "{name} no longer joins {terminals}", name=connection.name, terminals=listed(connection.terminals)
            )
            yield Difference("connection", connection.name, words)
        elif after[terminals].name != connection.name:
            words = msg("{old} is now called {new}", old=connection.name, new=after[terminals].name)
            yield Difference("connection", connection.name, words)
    for terminals, connection in after.items():
        if terminals not in before:
            words = msg("{name} joins {terminals}", name=connection.name, terminals=listed(connection.terminals))
            yield Difference("connection", connection.name, words)


def _pins(original: Project, own: Project) -> Iterable[Difference]:
    for pin in dict.fromkeys((*original.pins, *own.pins)):
        old, new = original.pins.get(pin), own.pins.get(pin)
        if old != new:
            words = msg("{pin} is used for {use}", pin=pin, use=new) if new else msg("{pin} is not used", pin=pin)
            yield Difference("pin", pin, words)


def _pieces(original: Project, own: Project) -> Iterable[Difference]:
    before, after = ({piece.name: piece for piece in project.pieces} for project in (original, own))
    for name in dict.fromkeys((*before, *after)):
        if name not in after:
            yield Difference("piece", name, msg("the piece {name} is left out", name=name))
        elif name not in before:
            yield Difference("piece", name, msg("the piece {name} is added", name=name))
        elif before[name] != after[name]:
            yield Difference("piece", name, msg("the piece {name} has another outline or allowance", name=name))
    if sorted(map(sorted, original.faces)) != sorted(map(sorted, own.faces)):
        yield Difference("piece", "faces", msg("other pieces face each other"))


def _facts(original: Project, own: Project) -> Iterable[Difference]:
    facts = (
        ("title", msg("another title")),
        ("thread", msg("another thread")),
        ("spacing", msg("another distance between lines")),
        ("contact", msg("another distance at which lines touch")),
        ("settings", msg("other settings")),
        ("supplies", msg("other supplies")),
        ("criteria", msg("other criteria for marks")),
        ("learner_may", msg("learners may change something else")),
    )
    for key, words in facts:
        if getattr(original, key) != getattr(own, key):
            yield Difference("facts", key, words)
    here = {part.ref for part in own.parts}  # for a part that is left out there is nothing to choose
    if {ref: names for ref, names in original.swaps.items() if ref in here} != own.swaps:
        yield Difference("facts", "swaps", msg("other parts to choose from"))
    # What a stage sews is not compared: it follows a switch that is put in, and connections are told above.
    plain = [[(stage.name, stage.does, stage.look) for stage in project.stages] for project in (original, own)]
    if plain[0] != plain[1]:
        yield Difference("stages", "stages", msg("other stages"))
