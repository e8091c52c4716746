"""Graphs sewn flat: which of them can lie on cloth without a touch, and how often the others must touch.

Nodes are joins, edges are straight lines. Source of the figures: K5 and K3,3 are not planar (any open text of
discrete mathematics); crossing numbers are 1 for K5 and K3,3, 2 for Petersen's graph, 3 for K6; connected planar
graphs of 1 to 7 nodes number 1, 1, 2, 6, 20, 99, 646. That every drawing of K5 and of K3,3 has an odd number of
crossings is a theorem of Kleitman's (from memory).
"""

from __future__ import annotations

import json
import random
from collections.abc import Mapping

import networkx as nx
import pytest
from networkx.generators.atlas import graph_atlas_g

from checks.sewn import SewnGraph, sew
from projects.circuit.fabric import lay_out
from projects.circuit.project_file import read

Places = Mapping[int, tuple[float, float]]

SIDE_MM = 5000
CLOTH = [[-SIDE_MM, -SIDE_MM], [SIDE_MM, -SIDE_MM], [SIDE_MM, SIDE_MM], [-SIDE_MM, SIDE_MM]]

CROSSINGS = {"K5": 1, "K3,3": 1, "Petersen": 2, "K6": 3}
GRAPHS = {
    "K5": nx.complete_graph(5),
    "K3,3": nx.complete_bipartite_graph(3, 3),
    "Petersen": nx.petersen_graph(),
    "K6": nx.complete_graph(6),
}
# Drawings found by trying, in order of the nodes.
BEST = {
    "K5": [(85, 85), (10, 85), (70, 50), (75, 15), (50, 70)],
    "K3,3": [(20, 50), (0, 0), (80, 85), (55, 60), (5, 65), (65, 10)],
    "Petersen": [(75, 85), (90, 50), (55, 5), (0, 30), (0, 80), (10, 55), (55, 35), (35, 35), (35, 25), (55, 60)],
    "K6": [(15, 80), (0, 0), (15, 15), (85, 15), (20, 50), (65, 20)],
}


def drawn(graph: nx.Graph, places: Places) -> SewnGraph:
    """The sewn graph of a layout whose joins are the nodes and whose lines are the edges; threads touch at 0.01 mm."""
    joins = [{"name": f"n{node}", "piece": "cloth", "x": x, "y": y} for node, (x, y) in places.items()]
    lines = [{"name": f"e{a}-{b}", "piece": "cloth", "from": f"@n{a}", "to": f"@n{b}"} for a, b in graph.edges]
    project = {"title": "Graph", "pieces": [{"name": "cloth", "outline": CLOTH}], "contact": 0.01}
    document = {
        "format": "tieoff/1",
        "project": {**project, "parts": [], "connections": []},
        "layout": {"joins": joins, "lines": lines},
    }
    return sew(lay_out(read(json.dumps(document).encode())))


def anywhere(graph: nx.Graph, rng: random.Random) -> dict[int, tuple[float, float]]:
    return {node: (rng.uniform(-2000, 2000), rng.uniform(-2000, 2000)) for node in graph}


def planar(graph: nx.Graph) -> bool:
    return bool(nx.check_planarity(graph)[0])


def touches_as_one(sewn: SewnGraph) -> nx.Graph:
    """The sewn graph with the two threads of each touch as one node: what lies flat on the cloth."""
    touching = nx.Graph((a, b) for a, b, kind in sewn.graph.edges(data="kind") if kind == "contact")
    one = {node: min(nodes) for nodes in nx.connected_components(touching) for node in nodes}
    pairs = ((one.get(a, a), one.get(b, b)) for a, b in sewn.graph.edges())
    return nx.Graph((a, b) for a, b in pairs if a != b)


@pytest.mark.parametrize("name", CROSSINGS)
def test_the_best_drawing_touches_as_often_as_the_crossing_number(name: str) -> None:
    graph = GRAPHS[name]
    sewn = drawn(graph, {node: (20 * x, 20 * y) for node, (x, y) in enumerate(BEST[name])})
    assert len(sewn.contacts) == CROSSINGS[name]


@pytest.mark.parametrize("name", CROSSINGS)
def test_no_drawing_touches_less_often(name: str) -> None:
    """From drawings at random, one node is put elsewhere where that is no worse: down to the number, never below."""
    rng, graph, counts = random.Random(name), GRAPHS[name], []
    for _start in range(4):
        places = anywhere(graph, rng)
        fewest = len(drawn(graph, places).contacts)
        for _step in range(60):
            tried = {**places, rng.choice(sorted(places)): (rng.uniform(-2000, 2000), rng.uniform(-2000, 2000))}
            touches = len(drawn(graph, tried).contacts)
            counts.append(touches)
            if touches <= fewest:
                places, fewest = tried, touches
    assert min(counts) >= CROSSINGS[name]
    if name in ("K5", "K3,3"):
        assert {count % 2 for count in counts} == {1}
        assert min(counts) == 1


@pytest.mark.parametrize("name", CROSSINGS)
def test_with_its_touches_as_nodes_every_drawing_is_planar(name: str) -> None:
    rng, graph = random.Random(f"flat {name}"), GRAPHS[name]
    assert not planar(graph)
    for _drawing in range(20):
        assert planar(touches_as_one(drawn(graph, anywhere(graph, rng))))


@pytest.mark.parametrize(("nodes", "number"), [*enumerate((1, 1, 2, 6, 20, 99, 646), start=1)])
def test_connected_planar_graphs_lie_on_cloth_without_a_touch_and_no_others_do(nodes: int, number: int) -> None:
    """Drawn from the embedding where there is one, which gives straight lines on a grid (Fary's theorem)."""
    rng, untouched = random.Random(nodes), 0
    for graph in graph_atlas_g():
        if graph.number_of_nodes() != nodes or not nx.is_connected(graph):
            continue
        flat, embedding = nx.check_planarity(graph)
        if flat:
            grid = nx.combinatorial_embedding_to_pos(embedding)
            places = {node: (200.0 * x, 200.0 * y) for node, (x, y) in grid.items()}
        else:
            places = anywhere(graph, rng)
        sewn = drawn(graph, places)
        assert (not sewn.contacts) == flat
        assert len(sewn.components) <= 1
        untouched += not sewn.contacts
    assert untouched == number
