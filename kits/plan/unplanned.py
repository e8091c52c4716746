"""What a plan cannot sew: connections that the lines leave in pieces, and lines with an end in the air."""

from __future__ import annotations

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
    left = [
        msg("{connection} is not joined up yet.", connection=one.name)
        for one in laid.project.connections
        if not _is_joined(laid, one)
    ]
    out = [msg("Line {line} is left out. {why}", line=loose.line.name, why=loose.why) for loose in laid.loose]
    return (*left, *out)


def _is_joined(laid: LaidOut, connection: Connection) -> bool:
    """Whether its lines, with what is joined inside parts, join all its terminals."""
    meant_for = line_connections(laid)
    graph: nx.Graph[str] = nx.Graph()
    for group in laid.groups():
        nx.add_path(graph, group)
    graph.add_edges_from((c.line.start, c.line.end) for c in laid.courses if meant_for[c.name] == connection.name)
    if len(connection.terminals) < 2:
        return True
    return set(connection.terminals) <= nx.node_connected_component(graph, connection.terminals[0])
