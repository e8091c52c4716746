"""Connections still to be sewn, as straight links between what is already joined."""

from __future__ import annotations

import math

import networkx as nx

from projects.circuit.fabric import LaidOut

__all__ = ["still_to_sew"]

Link = tuple[str, str]


def still_to_sew(laid_out: LaidOut) -> dict[str, tuple[Link, ...]]:
    """Pairs of terminals to link, by connection name: the shortest links on one piece that would join it.

    Counts as joined what lines, joins and the parts themselves join by name; touching threads do not count.
    """
    joined: nx.Graph[str] = nx.Graph()
    joined.add_nodes_from(laid_out.spots)
    for group in laid_out.groups():
        nx.add_path(joined, group)
    joined.add_edges_from((course.line.start, course.line.end) for course in laid_out.courses)
    return {
        connection.name: _links(laid_out, joined, [t for t in connection.terminals if t in laid_out.spots])
        for connection in laid_out.project.connections
    }


def _links(laid_out: LaidOut, joined: nx.Graph[str], terminals: list[str]) -> tuple[Link, ...]:
    parts = {node: i for i, nodes in enumerate(nx.connected_components(joined)) for node in nodes}
    graph: nx.Graph[int] = nx.Graph()
    for i, a in enumerate(terminals):
        for b in terminals[:i]:
            here, there = laid_out.spots[a], laid_out.spots[b]
            if here.piece != there.piece or parts[a] == parts[b]:
                continue
            far = math.dist((here.x, here.y), (there.x, there.y))
            pair = (parts[a], parts[b])
            if not graph.has_edge(*pair) or far < graph.edges[pair]["weight"]:
                graph.add_edge(*pair, weight=far, link=(a, b))
    return tuple(data["link"] for _, _, data in nx.minimum_spanning_edges(graph, data=True))
