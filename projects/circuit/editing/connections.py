"""Connections: join two terminals, take one out, name a connection, set it as a whole."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import count

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.project import Connection, Project, Stage
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import msg

__all__ = [
    "fresh_connection",
    "join",
    "remove_connection",
    "rename_connection",
    "set_connection",
    "take_out",
    "with_connections",
    "without_terminals_of",
]


def fresh_connection(project: Project) -> str:
    """A name for a connection that is still free: c1, c2 …"""
    taken = {connection.name for connection in project.connections}
    return next(name for number in count(1) if (name := f"c{number}") not in taken)


def join(document: Document, first: str, second: str) -> Document:
    """What tapping two terminals means.

    Both free: a new connection. One in a connection: the other goes in, too. In two connections: they become one.
    Both in one: the second is taken out again.
    """
    project = document.project
    if first == second:
        raise Refusal(
            "project.connections", msg("{terminal} was chosen twice", terminal=quoted(first)), msg("two terminals")
        )
    here, there = project.connection_of(first), project.connection_of(second)
    if here is not None and here == there:
        return take_out(document, second)
    if here is None and there is None:
        fresh = Connection.model_construct(name=fresh_connection(project), terminals=(first, second))
        return with_connections(document, (*project.connections, fresh))
    if here is not None and there is not None:
        return _merged(document, here, there)
    name, added = (here, second) if here is not None else (there, first)
    return _each(document, lambda one: (*one.terminals, added) if one.name == name else one.terminals)


def take_out(document: Document, terminal: str) -> Document:
    """Without that terminal in any connection; a connection that would join nothing any more goes."""
    if document.project.connection_of(terminal) is None:
        raise Refusal(
            "project.connections",
            msg("{terminal} is in no connection", terminal=quoted(terminal)),
            msg("a terminal of a connection"),
        )
    left = _each(document, lambda one: tuple(name for name in one.terminals if name != terminal))
    emptied = {
        one.name
        for one, before in zip(left.project.connections, document.project.connections, strict=True)
        if len(one.terminals) < 2 and one.terminals != before.terminals
    }
    return with_connections(left, (one for one in left.project.connections if one.name not in emptied))


def rename_connection(document: Document, name: str, new_name: str) -> Document:
    """The connection under a new name, in stages too."""
    project = document.project
    _known(project, name)
    return with_project(
        document,
        connections=tuple(
            one.model_copy(update={"name": new_name}) if one.name == name else one for one in project.connections
        ),
        stages=_stages(project.stages, {name: new_name}),
    )


def set_connection(document: Document, name: str, terminals: Iterable[str]) -> Document:
    """The connection joins exactly these terminals; made if there is none of that name.

    A terminal that was in another connection moves, since a terminal is in one connection alone.
    """
    project = document.project
    wanted = tuple(dict.fromkeys(terminals))
    if name not in [one.name for one in project.connections]:
        fresh = Connection.model_construct(name=name, terminals=())
        document = with_connections(document, (*project.connections, fresh))
    moved = set(wanted)
    return _each(
        document, lambda one: wanted if one.name == name else tuple(t for t in one.terminals if t not in moved)
    )


def remove_connection(document: Document, name: str) -> Document:
    """Without that connection; its terminals are free."""
    _known(document.project, name)
    return with_connections(document, (one for one in document.project.connections if one.name != name))


def with_connections(document: Document, connections: Iterable[Connection]) -> Document:
    """The document with these connections; stages forget those that are gone."""
    kept = tuple(connections)
    names = {one.name for one in kept}
    gone = {one.name: None for one in document.project.connections if one.name not in names}
    return with_project(document, connections=kept, stages=_stages(document.project.stages, gone))


def without_terminals_of(document: Document, gone: Callable[[str], bool]) -> Document:
    """The document with terminals taken out of connections and pins; connections that lose their last one go."""
    pins = {pin: use for pin, use in document.project.pins.items() if not gone(pin)}
    left = [
        one.model_copy(update={"terminals": tuple(terminal for terminal in one.terminals if not gone(terminal))})
        for one in document.project.connections
    ]
    kept = [
        one
        for one, before in zip(left, document.project.connections, strict=True)
        if one.terminals or not before.terminals
    ]
    return with_connections(with_project(document, pins=pins), kept)


def _merged(document: Document, kept: str, other: str) -> Document:
    """Both connections as one under the first name, the terminals in order."""
    added = next(one.terminals for one in document.project.connections if one.name == other)
    grown = _each(
        document, lambda one: tuple(dict.fromkeys((*one.terminals, *added))) if one.name == kept else one.terminals
    )
    return remove_connection(grown, other)


def _each(document: Document, terminals: Callable[[Connection], tuple[str, ...]]) -> Document:
    return with_project(
        document,
        connections=tuple(one.model_copy(update={"terminals": terminals(one)}) for one in document.project.connections),
    )


def _stages(stages: tuple[Stage, ...], renamed: dict[str, str] | dict[str, None]) -> tuple[Stage, ...]:
    """Stages with connections renamed, and without those whose new name is None."""
    return tuple(
        stage.model_copy(
            update={
                "connections": tuple(new for name in stage.connections if (new := renamed.get(name, name)) is not None)
            }
        )
        for stage in stages
    )


def _known(project: Project, name: str) -> None:
    names = [one.name for one in project.connections]
    if name not in names:
        wrong = msg("there is no connection {name}", name=quoted(name))
        raise Refusal("project.connections", wrong, msg("{names}", names=listed(names)))
