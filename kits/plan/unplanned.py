"""What a plan cannot sew: connections that the lines leave in pieces, and lines with an end in the air."""

from __future__ import annotations

from collections.abc import Sequence

import networkx as nx

from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.project import Connection
from projects.circuit.sewing import line_connections
from projects.circuit.text import Message, msg

__all__ = ["unplanned"]


def unplanned(document: Document) -> tuple[Message, ...]:
    """One text for each connection that no lines join up, then one for each line left out; empty if all is planned.

    Goes by the ends that lines name; whether thread touches where it must not is for the checks.
    """
    laid = lay_out(document)
    lines: dict[str, list[tuple[str, str]]] = {}
    for course, connection in zip(laid.courses, line_connections(laid).values(), strict=True):
        lines.setdefault(connection, []).append((course.line.start, course.line.end))
    left = [
        msg("{connection} is not joined up yet.", connection=one.name)
        for one in laid.project.connections
        if not _is_joined(laid, one, lines.get(one.name, []))
    ]
    out = [msg("Line {line} is left out. {why}", line=loose.line.name, why=loose.why) for loose in laid.loose]
    return (*left, *out)


def _is_joined(laid: LaidOut, connection: Connection, lines: Sequence[tuple[str, str]]) -> bool:
    """Whether these lines, with what is joined inside parts, join all terminals of a connection."""
    if len(connection.terminals) < 2:
        return True
    graph: nx.Graph[str] = nx.Graph()
    for group in laid.groups():
        nx.add_path(graph, group)
    graph.add_edges_from(lines)
    return set(connection.terminals) <= nx.node_connected_component(graph, connection.terminals[0])
