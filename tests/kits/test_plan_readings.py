"""Expected meter readings: by hand, and against networkx's resistance distance."""

import networkx as nx
import pytest

from checks.sewn import sew
from kits.plan.make import make_plan
from kits.plan.network import MOST_NODES, SewnSoFar, fabric_of
from kits.plan.values import Reading
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.sewing import Habits
from tests.kits.plan_documents import dense, document, line, porch

# 1000 mm of thread are 1 ohm here, and nothing else resists.
ONE_OHM_A_METRE = {"ohms_per_metre": 1.0, "strands": 1, "take_up": 1.0, "contact_ohms": 0.0, "tolerance": 0.1}


def readings(plan_of: Document) -> dict[tuple[str, str], Reading]:
    return {(one.start, one.end): one for one in make_plan(plan_of).readings if one.kind == "ohms"}


def sewn_so_far(whole: Document, *lines: str) -> SewnSoFar:
    names = lines or tuple(one.name for one in whole.layout.lines)
    return SewnSoFar(fabric_of(sew(lay_out(whole)), Habits()), frozenset(names))


def pair(
    parts: dict[str, str], connections: dict[str, str], lines: list[dict[str, object]], **project: object
) -> Document:
    places = {ref: (100.0, 100.0 + 100 * at) for at, ref in enumerate(parts)}
    return document(parts, connections, places, lines, thread=ONE_OHM_A_METRE, **project)


def test_two_ways_side_by_side_are_less_than_either() -> None:
    """R1.a (92, 100) to R2.a (92, 200): 100 mm straight and 200 mm round the left, so 0.1 beside 0.2 ohm."""
    two = pair(
        {"R1": "resistor-220", "R2": "resistor-220"},
        {"all": "R1.a R2.a"},
        [line("s1", "R1.a", "R2.a"), line("s2", "R1.a", "R2.a", (42, 100), (42, 200))],
    )
    measured = sewn_so_far(two).measured("R1.a", "R2.a")
    assert measured is not None
    assert measured.expected == pytest.approx(1 / (1 / 0.1 + 1 / 0.2))
    alone = sewn_so_far(two, "s1").measured("R1.a", "R2.a")
    assert alone is not None
    assert (alone.low, alone.expected, alone.high) == pytest.approx((0.09, 0.1, 0.11))


def test_a_resistor_is_measured_as_it_is_and_a_sensor_between_its_levels() -> None:
    """220 ohm, with 1 and 1.1 metres of thread of 1 ohm a metre."""
    two = document(
        {"R1": "resistor-220", "D1": "light-sensor", "R2": "resistor-220"},
        {"a": "R1.b R2.a", "b": "D1.b R2.b"},
        {"R1": (100, 100), "R2": (1116, 100), "D1": (1000, 500)},
        [line("s1", "R1.b", "R2.a")],
        thread=ONE_OHM_A_METRE,
    )
    so_far = sewn_so_far(two)
    through = so_far.measured("R1.a", "R2.b")
    assert through is not None
    assert through.expected == pytest.approx(220 + 1 + 220)
    sensor = so_far.measured("D1.a", "D1.b")
    levels = [level.ohms for level in lay_out(two).types["D1"].model.levels]
    assert sensor is not None
    assert (sensor.low, sensor.expected, sensor.high) == pytest.approx((min(levels), levels[0], max(levels)))


def test_a_switch_is_measured_in_its_first_position() -> None:
    switch = pair({"S1": "slide-switch", "L1": "light-red"}, {"a": "S1.a L1.plus"}, [line("s1", "S1.a", "L1.plus")])
    so_far = sewn_so_far(switch)
    assert so_far.apart("S1.a", "S1.b")
    assert so_far.apart("L1.plus", "L1.minus")
    assert not so_far.apart("S1.a", "L1.plus")
    assert not so_far.apart("S1.a", "S1.a")


def test_thread_that_touches_where_it_crosses_is_measured_too() -> None:
    """Lines of 200 and 100 mm cross in their middles: 0.1 + 0.3 + 0.05 ohm from end to end of two of them."""
    cross = document(
        dict.fromkeys(["R1", "R2", "R3", "R4"], "resistor-220"),
        {"first": "R1.a R2.a", "second": "R3.a R4.a"},
        {"R1": (92, 100, 180), "R2": (308, 100), "R3": (208, 50), "R4": (208, 150)},
        [line("s1", "R1.a", "R2.a"), line("s2", "R3.a", "R4.a")],
        thread=ONE_OHM_A_METRE,
    )
    measured = sewn_so_far(cross).measured("R1.a", "R3.a")
    assert measured is not None
    assert measured.expected == pytest.approx(0.1 + 0.3 + 0.05)
    assert sewn_so_far(cross, "s1").apart("R1.a", "R3.a")
    # Once both are sewn nothing is given as what must read open: all that is near is joined by the touch.
    taken = [(one.start, one.end) for one in make_plan(cross).readings if one.stage == "second"]
    assert taken == [("R3.a", "R4.a")]


def test_across_a_controller_only_a_lower_bound_is_known_and_open_is_never_said() -> None:
    found = readings(porch())
    supply = found["M1.plus", "M1.minus"]
    assert (supply.expected, supply.min, supply.max) == (None, 100, None)
    assert "more than 100 ohm" in str(supply.text)
    assert "must not touch" not in str(supply.text)
    pins = found["M1.a3", "M1.a2"]
    # At worst the way over the sensor, bright, lies beside the controller's 100 ohm.
    assert 0 < pins.min < 100
    assert (pins.expected, pins.max) == (None, None)


def test_the_reading_before_the_cell_goes_in_tells_a_resistor_from_a_short() -> None:
    """Cell, resistor, nothing else: 220 ohm, and 40 mm + 40 mm of thread of 1 ohm a metre."""
    loop = document(
        {"B1": "coin-holder", "R1": "resistor-220"},
        {"plus": "B1.p1 R1.a", "minus": "B1.n1 R1.b"},
        {"B1": (100, 106), "R1": (100, 60)},
        [line("s1", "B1.p1", "R1.a", (87, 60)), line("s2", "B1.n1", "R1.b", (113, 60))],
        thread=ONE_OHM_A_METRE,
    )
    whole = readings(loop)["B1.p1", "B1.n1"]
    path_mm = sum(course.length_mm for course in lay_out(loop).courses)
    assert whole.expected == pytest.approx(220 + path_mm / 1000)
    assert whole.stage == "test"
    assert "Set the meter to 2 k ohm." in str(whole.text)


def network_of(tangle: Document) -> tuple[nx.MultiGraph, nx.utils.UnionFind]:
    """The sewn stretches as ohms, and which nodes are one: joined in a part, or less than a milliohm apart."""
    thread, laid = tangle.project.thread, lay_out(tangle)
    sewn = sew(laid).graph
    same = nx.utils.UnionFind([*sewn, *laid.terminals()])
    found: list[tuple[str, str, float]] = [("R1.a", "R1.b", 220.0)]
    for a, b, edge in sewn.edges(data=True):
        ohms = {"joined": 0.0, "contact": thread.crossing_ohms}.get(edge["kind"])
        if ohms is None:
            ohms = edge["length_mm"] / 1000 * thread.ohms_per_metre * thread.take_up / thread.strands
            ohms += thread.contact_ohms * (("." in a) + ("." in b))
        found.append((a, b, ohms))
    for a, b, ohms in found:
        if ohms < 1e-3:
            same.union(a, b)
    graph: nx.MultiGraph = nx.MultiGraph()
    for a, b, ohms in found:
        if same[a] != same[b]:
            graph.add_edge(same[a], same[b], ohms=ohms)
    return graph, same


@pytest.mark.parametrize("seed", range(12))
def test_ohms_agree_with_networkx_on_a_tangle(seed: int) -> None:
    tangle = dense(seed)
    graph, same = network_of(tangle)
    so_far = sewn_so_far(tangle)
    nodes = [terminal for terminal in lay_out(tangle).spots if same[terminal] in graph]
    for a, b in zip(nodes, nodes[3:], strict=False):
        measured = so_far.measured(a, b)
        assert measured is not None
        if same[a] == same[b]:
            assert measured.expected == 0
        elif nx.has_path(graph, same[a], same[b]):
            part = graph.subgraph(nx.node_connected_component(graph, same[a]))
            known = nx.resistance_distance(part, same[a], same[b], weight="ohms", invert_weight=True)
            assert measured.expected == pytest.approx(known, rel=1e-6)
        else:
            assert measured.expected is None


def test_a_tangle_past_the_bound_has_a_plan_without_those_readings() -> None:
    places = {f"R{n}": (100.0 + 90 * (n % 10), 100.0 + 300 * (n // 10)) for n in range(40)}
    lines = [line(f"s{n}", f"R{n}.a", f"R{(n * 7 + 3) % 40}.b", (1000 - n, 600)) for n in range(40)]
    knot = document(
        dict.fromkeys(places, "resistor-220"), {"all": " ".join(f"R{n}.a" for n in range(40))}, places, lines
    )
    assert sew(lay_out(knot)).graph.number_of_nodes() > 2 * MOST_NODES
    plan = make_plan(knot)
    assert sorted(set(name for run in plan.runs for name in run.lines)) == sorted(one.name for one in knot.layout.lines)
    assert [reading for reading in plan.readings if reading.max is not None] == []
