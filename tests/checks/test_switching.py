"""The search for a dead short, against trying every position; and which way current runs."""

from __future__ import annotations

import itertools
import random

import networkx as nx
import pytest

from checks.direction import Bridge, closed_contacts, ohms_between, part_nodes, thread_bridges
from checks.netlist import Netlist, Resistor
from checks.resistance import two_terminal_ohms
from checks.sewn import SewnGraph
from checks.switching import find_dead_short
from projects.circuit.fabric import LaidOut, lay_out
from tests.checks.cases import document

TERMINALS = [{"name": name, "x": x, "y": 0} for name, x in (("a", -8), ("b", 8))]
BODY = {"shape": "rectangle", "width": 12, "height": 4}


def switch_type(name: str, *positions: list[list[str]]) -> dict[str, object]:
    named = [{"name": f"n{n}", "joins": joins} for n, joins in enumerate(positions)]
    model = {"kind": "switch", "positions": named}
    return {"type": name, "name": "Switch", "body": BODY, "terminals": TERMINALS, "model": model}


OFF_ON = switch_type("off-on", [], [["a", "b"]])
NEVER = switch_type("never", [], [])


def laid(switches: dict[str, str], resistors: dict[str, float] | None = None) -> LaidOut:
    """A holder, switches and resistors with a place and no line; what joins them is drawn by `joined`."""
    types = [OFF_ON, NEVER]
    parts: dict[str, object] = {"L1": None, "B1": ["coin-holder", 0, 0]}
    for n, (ref, kind) in enumerate(switches.items()):
        parts[ref] = [kind, 0, 50 * (n + 1)]
    for n, (ref, ohms) in enumerate((resistors or {}).items()):
        model = {"kind": "resistor", "ohms": ohms}
        types.append({"type": f"r-{ref}", "name": "Resistor", "body": BODY, "terminals": TERMINALS, "model": model})
        parts[ref] = [f"r-{ref}", 200, 50 * (n + 1)]
    case = {"base": "lamp", "part_types": types, "parts": parts, "lines": dict.fromkeys("abcd"), "connections": {}}
    return lay_out(document({**case, "connections": {"plus": None, "minus": None}}))


def joined(laid_out: LaidOut, *pairs: tuple[str, str], length_mm: float = 10.0) -> SewnGraph:
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(laid_out.spots)
    graph.add_edge("B1.p1", "B1.p2", kind="joined", part="B1")
    graph.add_edge("B1.n1", "B1.n2", kind="joined", part="B1")
    for n, (a, b) in enumerate(pairs):
        graph.add_edge(a, b, kind="thread", line=f"s{n}", length_mm=length_mm)
    return SewnGraph(laid_out, graph, (), {})


ACROSS = [("B1.p1", "S1.a"), ("S1.b", "B1.n1")]


def test_a_switch_across_the_cell() -> None:
    found = find_dead_short(joined(laid({"S1": "off-on"}), *ACROSS))
    assert found is not None
    assert found.positions == {"S1": "n1"}
    assert found.lines == ("s0", "s1")


def test_a_switch_that_never_joins_its_sides() -> None:
    assert find_dead_short(joined(laid({"S1": "never"}), *ACROSS)) is None


def test_a_line_right_across() -> None:
    found = find_dead_short(joined(laid({}), ("B1.p1", "B1.n1"), length_mm=100))
    assert found is not None
    # 100 mm at 18 milliohm and two anchors of 0.5 ohm; 3 V behind 15 ohm.
    assert found.ohms == pytest.approx(2.8)
    assert found.amps == pytest.approx(3 / 17.8)
    assert found.watts == pytest.approx(2.8 * (3 / 17.8) ** 2)
    assert found.terminals == ("B1.p1", "B1.n1")


@pytest.mark.parametrize("seed", range(60))
def test_the_search_misses_nothing_and_invents_nothing(seed: int) -> None:
    rng = random.Random(seed)
    switches = {f"S{n}": rng.choice(["off-on", "off-on", "never"]) for n in range(rng.randint(1, 4))}
    resistors = {f"R{n}": rng.choice([1.0, 3.0, 8.0]) for n in range(rng.randint(0, 3))}
    laid_out = laid(switches, resistors)
    places = [
        "B1.p1",
        "B1.n1",
        *(f"{s}.{t}" for s in switches for t in "ab"),
        *(f"{r}.{t}" for r in resistors for t in "ab"),
    ]
    pairs = [tuple(rng.sample(places, 2)) for _ in range(rng.randint(2, len(places)))]
    sewn = joined(laid_out, *pairs)
    bridges = [*thread_bridges(sewn), *(Bridge(r, *part_nodes(laid_out, r), ohms) for r, ohms in resistors.items())]
    dead = set()
    for chosen in itertools.product(*(position_names(laid_out, ref) for ref in switches)):
        closed = [
            pair
            for ref, name in zip(switches, chosen, strict=True)
            for pair in closed_contacts(laid_out.types[ref], ref, name)
        ]
        closed += [("B1.p1", "B1.p2"), ("B1.n1", "B1.n2")]
        plain = nx.Graph([*closed, *((one.a, one.b) for one in thread_bridges(sewn))])
        by_thread = plain.has_node("B1.p1") and "B1.n1" in nx.node_connected_component(plain, "B1.p1")
        if by_thread or ohms_of(bridges, closed) < 5.0:
            dead.add(chosen)
    found = find_dead_short(sewn)
    assert (found is not None) == bool(dead)
    if found is not None:
        assert tuple(found.positions[ref] for ref in switches) in dead


def position_names(laid_out: LaidOut, ref: str) -> list[str]:
    model = laid_out.types[ref].model
    assert model.kind == "switch"
    return [one.name for one in model.positions]


def ohms_of(bridges: list[Bridge], closed: list[tuple[str, str]]) -> float:
    """By the other way of the project: dense, node by node."""
    elements = [Resistor(f"b{n}", one.a, one.b, one.ohms) for n, one in enumerate(bridges)]
    elements += [Resistor(f"c{n}", a, b, 0.0) for n, (a, b) in enumerate(closed)]
    ohms = two_terminal_ohms(Netlist(tuple(elements)), "B1.p1", "B1.n1")
    assert (
        ohms is None or ohms > 1e8 or ohms == pytest.approx(ohms_between(bridges, closed, ("B1.p1", "B1.n1")), rel=1e-5)
    )
    return 1e12 if ohms is None else ohms
