"""Trails: the fewest lengths of thread that sew a set of lines, each line once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

__all__ = ["Trail", "fewest_trails", "trails"]


@dataclass(frozen=True)
class Trail:
    """A walk that uses no edge twice: `nodes` in order, `edges` (keys) between them, one fewer."""

    nodes: tuple[str, ...]
    edges: tuple[str, ...]

    def backward(self) -> Trail:
        """The same trail from its other end."""
        return Trail(self.nodes[::-1], self.edges[::-1])


def fewest_trails(graph: nx.MultiGraph[str]) -> int:
    """How many trails `graph` needs: k for a component with 2k > 0 odd nodes, one for any other with an edge.

    Source: West, Introduction to Graph Theory, theorem 1.2.33 (from memory).

    >>> fewest_trails(nx.MultiGraph([("c", "a"), ("c", "b"), ("c", "d")]))
    2
    """
    return sum(max(1, len(_odd(part)) // 2) for part in _components(graph))


def trails(graph: nx.MultiGraph[str], starts_first: Sequence[str] = ()) -> list[Trail]:
    """Split the edges of `graph` into as few trails as can be (`fewest_trails`).

    Edge keys must differ throughout the graph. Each trail starts at the one of its two ends (a closed one: of its
    nodes) that comes first in `starts_first`, then by name; trails come in the order of their starts. The same graph
    gives the same trails, in whatever order its nodes and edges were added.

    >>> bend = nx.MultiGraph()
    >>> _ = bend.add_edge("L1.plus", "B1.p1", key="s1"), bend.add_edge("B1.p1", "B1.p2", key="s2")
    >>> trails(bend, starts_first=["B1.p1", "B1.p2"])
    [Trail(nodes=('B1.p2', 'B1.p1', 'L1.plus'), edges=('s2', 's1'))]
    """
    place = {node: at for at, node in enumerate(starts_first)}

    def rank(node: str) -> tuple[int, str]:
        return place.get(node, len(place)), node

    found: list[Trail] = []
    for part in _components(graph):
        odd = sorted(_odd(part), key=rank)
        start = odd[0] if odd else min(part, key=rank)
        # All odd nodes but the first and the last are paired by edges that are no thread; the walk is cut there.
        bridges = list(zip(odd[1:-1:2], odd[2:-1:2], strict=True))
        found.extend(_walk(part, start, bridges))
    facing = [trail if rank(trail.nodes[0]) <= rank(trail.nodes[-1]) else trail.backward() for trail in found]
    return sorted(facing, key=lambda trail: (rank(trail.nodes[0]), trail.edges))


def _components(graph: nx.MultiGraph[str]) -> list[nx.MultiGraph[str]]:
    """Components that have an edge, each rebuilt in sorted order."""
    ordered: nx.MultiGraph[str] = nx.MultiGraph()
    edges = ((min(u, v), max(u, v), key) for u, v, key in graph.edges(keys=True))
    for u, v, key in sorted(edges, key=lambda edge: (edge[0], edge[1], str(edge[2]))):
        ordered.add_edge(u, v, key=key)
    return [ordered.subgraph(nodes) for nodes in nx.connected_components(ordered)]


def _odd(graph: nx.MultiGraph[str]) -> list[str]:
    return [node for node in graph if graph.degree(node) % 2]


def _walk(graph: nx.MultiGraph[str], start: str, bridges: Sequence[tuple[str, str]]) -> list[Trail]:
    """Euler's walk from `start` over the graph and its bridges, cut at every bridge."""
    whole: nx.MultiGraph[str] = nx.MultiGraph(graph)
    for at, (u, v) in enumerate(bridges):
        whole.add_edge(u, v, key=("bridge", at))
    found: list[Trail] = []
    nodes: list[str] = [start]
    edges: list[str] = []
    for _, end, key in nx.eulerian_path(whole, source=start, keys=True):
        if isinstance(key, tuple):
            found.append(Trail(tuple(nodes), tuple(edges)))
            nodes, edges = [end], []
        else:
            nodes.append(end)
            edges.append(key)
    return [*found, Trail(tuple(nodes), tuple(edges))]
