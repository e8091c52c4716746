"""Fewest trails of every small graph: the theorem, brute force, and how many graphs need how many.

A connected graph with 2k > 0 odd nodes needs exactly k trails. Source: West, Introduction to Graph Theory,
theorem 1.2.33 (from memory). The graphs are networkx's atlas, every graph of up to seven nodes (Read and Wilson,
An Atlas of Graphs, as networkx names its source).
"""

from collections import Counter
from functools import cache

import networkx as nx
import pytest
from networkx.generators.atlas import graph_atlas_g

from projects.circuit.trails import Trail, fewest_trails, trails


def named(graph: nx.Graph) -> nx.MultiGraph:
    """The graph with names for nodes and a key of its own for each edge."""
    multi: nx.MultiGraph = nx.MultiGraph()
    for u, v in graph.edges:
        multi.add_edge(f"n{u}", f"n{v}", key=f"{u}-{v}")
    return multi


@cache
def atlas(nodes: int) -> list[nx.MultiGraph]:
    """All graphs of the atlas with that many nodes and at least one edge."""
    return [named(graph) for graph in graph_atlas_g() if graph.number_of_nodes() == nodes and graph.number_of_edges()]


def assert_valid(graph: nx.MultiGraph, found: list[Trail]) -> None:
    """Every edge once, and each trail a walk along the edges it names."""
    assert Counter(edge for trail in found for edge in trail.edges) == Counter(
        key for _, _, key in graph.edges(keys=True)
    )
    ends = {key: {u, v} for u, v, key in graph.edges(keys=True)}
    for trail in found:
        assert len(trail.nodes) == len(trail.edges) + 1
        for edge, before, after in zip(trail.edges, trail.nodes, trail.nodes[1:], strict=False):
            assert ends[edge] == {before, after}


def by_brute_force(graph: nx.MultiGraph) -> int:
    """Fewest trails by trying every way to walk on from every node, with no theorem."""
    edges = [(u, v) for u, v, _ in graph.edges(keys=True)]
    at: dict[str, list[tuple[int, str]]] = {node: [] for node in graph}
    for number, (u, v) in enumerate(edges):
        at[u].append((number, v))
        at[v].append((number, u))

    @cache
    def started(left: int) -> int:
        """Fewest trails for the edges of the set `left`: a new one must start somewhere."""
        if not left:
            return 0
        firsts = (number for number in range(len(edges)) if left & 1 << number)
        return 1 + min(walked(left & ~(1 << number), end) for number in firsts for end in edges[number])

    @cache
    def walked(left: int, here: str) -> int:
        """Fewest further trails for `left` when the needle is at `here`: walk on, or stop."""
        on = (walked(left & ~(1 << number), end) for number, end in at[here] if left & 1 << number)
        return min([started(left), *on])

    return started((1 << len(edges)) - 1)


@pytest.mark.parametrize("nodes", range(2, 7))
def test_no_way_to_walk_needs_fewer_up_to_six_nodes(nodes: int) -> None:
    for graph in atlas(nodes):
        found = trails(graph)
        assert_valid(graph, found)
        assert len(found) == by_brute_force(graph)


def test_the_bound_is_met_by_valid_trails_at_seven_nodes() -> None:
    for graph in atlas(7):
        found = trails(graph)
        assert_valid(graph, found)
        bound = 0
        for part in nx.connected_components(graph):
            odd = sum(graph.degree(node) % 2 for node in part)
            bound += max(1, odd // 2)
        assert len(found) == bound == fewest_trails(graph)


def test_connected_graphs_of_seven_nodes_by_fewest_trails() -> None:
    """311, 412 and 130 of 853 (computed on networkx's atlas; the total is a known count of connected graphs)."""
    whole = [graph for graph in atlas(7) if graph.number_of_nodes() == 7 and nx.is_connected(graph)]
    assert len(whole) == 853
    assert Counter(len(trails(graph)) for graph in whole) == {1: 311, 2: 412, 3: 130}
