"""The label repeated along each line: `+`, `−`, or the number of its connection."""

from __future__ import annotations

from collections.abc import Mapping

import networkx as nx

from projects.circuit.catalogue import part_types_of
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell
from projects.circuit.project import Project

__all__ = ["connection_labels", "line_connections", "line_labels"]


def connection_labels(project: Project) -> Mapping[str, str]:
    """Label by connection name: `+` with the cell's positive side, `−` with its negative, the others 1, 2, 3 …

    Where the diagram itself joins both sides of the cell, the connection is `±`.
    """
    signs = _cell_signs(project)
    labels: dict[str, str] = {}
    number = 0
    for connection in project.connections:
        found = {signs[terminal] for terminal in connection.terminals if terminal in signs}
        if not found:
            number += 1
        labels[connection.name] = "±" if len(found) == 2 else found.pop() if found else str(number)
    return labels


def _cell_signs(project: Project) -> dict[str, str]:
    signs: dict[str, str] = {}
    for ref, part_type in part_types_of(project).items():
        if isinstance(part_type.model, Cell):
            signs |= {f"{ref}.{name}": "+" for name in part_type.with_role("positive")}
            signs |= {f"{ref}.{name}": "−" for name in part_type.with_role("negative")}
    return signs


def line_connections(laid_out: LaidOut) -> Mapping[str, tuple[str, ...]]:
    """Names of the connections that each line is drawn for, by line name.

    Followed by the named ends alone, over joins: a sound line has one, a line that joins two
    connections has both, a line between joins that lead nowhere has none.
    """
    project = laid_out.project
    lines = laid_out.document.layout.lines
    # Through joins only: over terminals a line would take the name of all that it is shorted to.
    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from(
        (end, f"line {line.name}") for line in lines for end in (line.start, line.end) if end[0] == "@"
    )
    ends = {line.name: tuple(end for end in (line.start, line.end) if end[0] != "@") for line in lines}
    used = {terminal: c.name for c in reversed(project.connections) for terminal in c.terminals}
    named = {line.name: {used[end] for end in ends[line.name] if end in used} for line in lines}
    # Once for each component, not for each line: a file may hold a thousand lines that hang together.
    for component in nx.connected_components(graph):
        together = [name[5:] for name in component if name[0] != "@"]
        names = {name for line in together for name in named[line]}
        named |= dict.fromkeys(together, names)
    order = [c.name for c in project.connections]
    return {line.name: tuple(name for name in order if name in named[line.name]) for line in lines}


def line_labels(laid_out: LaidOut) -> Mapping[str, str]:
    """Label by line name; `?` for a line that joins two connections, empty for one that joins none."""
    of = connection_labels(laid_out.project)
    return {
        line: "?" if len(names) > 1 else of[names[0]] if names else ""
        for line, names in line_connections(laid_out).items()
    }
