"""The circuit of a project as rows for people."""

from __future__ import annotations

from dataclasses import dataclass

from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.layout import Layout
from projects.drawing import connection_labels
from projects.said import say_name

__all__ = ["ConnectionRow", "PartRow", "connection_rows", "part_rows"]


@dataclass(frozen=True)
class PartRow:
    """A part: its ref, what it is, and its terminals with what is printed on them."""

    ref: str
    name: str
    terminals: tuple[str, ...]


@dataclass(frozen=True)
class ConnectionRow:
    """A connection: its label on the drawing (+, −, 1 …), its name, the terminals that it joins."""

    label: str
    name: str
    terminals: tuple[str, ...]


def part_rows(document: Document) -> list[PartRow]:
    """Every part of the circuit, in its order."""
    types = part_types_of(document.project)
    return [
        PartRow(
            part.ref,
            say_name(types[part.ref].name),
            tuple(terminal.label or terminal.name for terminal in types[part.ref].terminals),
        )
        for part in document.project.parts
    ]


def connection_rows(document: Document) -> list[ConnectionRow]:
    """Every connection of the circuit, in its order; a terminal by its ref and the label printed on the part."""
    bare = lay_out(document.with_layout(Layout()))
    labels = connection_labels(document.project)
    return [
        ConnectionRow(
            labels.get(connection.name, ""),
            connection.name,
            tuple(f"{terminal} ({bare.label(terminal)})" for terminal in connection.terminals),
        )
        for connection in document.project.connections
    ]
