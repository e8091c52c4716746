"""Many operating points at once against one at a time: the same volts and amps, whatever the circuit."""

from __future__ import annotations

import random

import pytest

from checks.netlist import Draw, Element, Led, Netlist, Resistor, Source
from checks.operating_point import solve
from checks.sewn import sew
from checks.situations import Situations
from checks.sweep import Variant, sweep
from projects.circuit.fabric import lay_out
from tests.checks.random_netlists import sewn as sewn_netlist
from tests.generated.faults import FAULTS
from tests.generated.schemes import sound

MICROVOLT = 1e-6
WHITE = (4.62e-16, 3.696, 10.0)


def assert_as_one_by_one(fixed: list[Element], variants: list[Variant], nodes: list[str]) -> None:
    for variant, point in zip(variants, sweep(fixed, variants, nodes), strict=True):
        alone = solve(Netlist((*fixed, *variant)))
        assert point.converged == alone.converged
        assert list(point.volts) == nodes
        if alone.converged:
            assert point.volts == pytest.approx({node: alone.volts[node] for node in nodes}, abs=MICROVOLT)
            named = {one.name for one in (*fixed, *variant) if not (isinstance(one, Resistor) and one in fixed)}
            assert {name: point.amps[name] for name in named} == pytest.approx(
                {name: alone.amps[name] for name in named}, abs=1e-8
            )


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_every_situation_of_generated_layouts_is_as_solved_alone(first: int) -> None:
    for seed in range(first, first + 20):
        rng = random.Random(f"sweep {seed}")
        draft = sound(40_000 + seed)
        if seed % 2:
            draft = rng.choice(FAULTS[rng.choice(list(FAULTS))])(draft, rng).draft
        for solved in Situations(sew(lay_out(draft.document()))).solved:
            alone = solve(solved.netlist)
            assert solved.point.converged
            assert alone.converged
            for node, volts in solved.point.volts.items():
                assert abs(volts - alone.volts.get(node, 0.0)) <= MICROVOLT, (seed, solved.setting.name, node)
            for name, amps in solved.point.amps.items():
                assert abs(amps - alone.amps[name]) <= 1e-8, (seed, solved.setting.name, name)


@pytest.mark.parametrize("seed", range(60))
def test_random_netlists_with_a_random_part_of_them_varied(seed: int) -> None:
    netlist = sewn_netlist(seed, nodes=24, lights=1 + seed % 6)
    rng = random.Random(seed)
    straight = [one for one in netlist.elements if isinstance(one, Source | Resistor)]
    varying = [one for one in straight if isinstance(one, Source) or rng.random() < 0.1]
    fixed = [one for one in netlist.elements if one not in varying]
    variants: list[Variant] = [varying]
    for _ in range(5):
        variants.append(
            [
                Source(one.name, one.plus, one.minus, one.volts * rng.random(), one.ohms)
                if isinstance(one, Source)
                else Resistor(one.name, one.a, one.b, rng.choice((0.0, one.ohms * 3, 1e5)))
                for one in varying
                if isinstance(one, Source) or rng.random() < 0.8
            ]
        )
    nodes = [node for node in netlist.nodes if rng.random() < 0.5]
    for variant in variants:
        known = set(Netlist((*fixed, *variant)).nodes)
        assert_as_one_by_one(fixed, [variant], [node for node in nodes if node in known])
    together = sweep(fixed, variants, nodes)
    apart = [sweep(fixed, [variant], nodes)[0] for variant in variants]
    for one, other in zip(together, apart, strict=True):
        assert one.volts == pytest.approx(other.volts, abs=MICROVOLT)


def test_a_closed_switch_makes_its_nodes_one_that_leaks_once() -> None:
    """A light behind an open switch hangs on gigohms alone: two leaks instead of one would move it by 60 mV."""
    fixed: list[Element] = [Led("L1", "p", "x", *WHITE)]
    cell = Source("B1", "p", "n", 3.0, 15.0)
    variants: list[Variant] = [[cell], [cell, Resistor("S1", "x", "y", 0.0)]]
    points = sweep(fixed, variants, ["p", "x"])
    assert points[0].volts["x"] == pytest.approx(points[1].volts["x"], abs=1e-9)
    assert_as_one_by_one(fixed, variants, ["p", "x"])


def test_closed_switches_in_a_ring() -> None:
    cell, ring = Source("B1", "p", "n", 3.0, 10.0), [Resistor(f"S1 {n}", "p", "x", 0.0) for n in range(2)]
    point = sweep([Resistor("R1", "x", "n", 90.0)], [[cell, *ring]], ["x"])[0]
    assert point.volts["x"] == pytest.approx(2.7)
    assert sum(point.amps[one.name] for one in ring) == pytest.approx(0.03)


@pytest.mark.parametrize(
    ("fixed", "varying"),
    [
        ([Resistor("R1", "p", "n", 1e-2), Resistor("R2", "p", "q", 1e9)], [Source("B1", "p", "n", 3.0, 15.0)]),
        ([Resistor("R1", "p", "n", 0.0)], [Source("B1", "p", "n", 3.0, 15.0)]),
        ([Resistor("R1", "p", "n", 0.0)], [Source("B1", "p", "n", 3.0, 0.0)]),
        ([Led("L1", "p", "n", 1e-14, 1.0, 0.0)], [Source("B1", "p", "n", 3.0, 15.0)]),
        ([Led("L1", "p", "n", 1e-14, 1.0, 0.0)], [Source("B1", "p", "n", 9.0, 0.0)]),
        ([Led("L1", "p", "p", *WHITE)], [Source("B1", "p", "n", 3.0, 15.0)]),
        ([Draw("M1", "p", "n", 0.01, 2.0)], [Source("B1", "p", "n", 3.0, 1000.0)]),
        ([Draw("M1", "n", "p", 0.01, 2.0)], [Source("B1", "p", "n", 3.0, 15.0)]),
        ([Resistor("R1", "a", "b", 5.0)], []),
        ([], [Source("B1", "p", "n", 3.0, 15.0)]),
    ],
)
def test_odd_circuits_end_as_they_do_alone(fixed: list[Element], varying: list[Resistor | Source]) -> None:
    nodes = list(Netlist((*fixed, *varying)).nodes)
    assert_as_one_by_one(fixed, [varying, varying], nodes)


@pytest.mark.parametrize(("length", "number"), [(130, 300), (300, 5)])
def test_long_chains_in_several_batches_or_one_by_one(length: int, number: int) -> None:
    """By hand: a chain of one ohm a link divides the cell's volts evenly, but for some nanoamps of leaks."""
    fixed = [Resistor(f"R{at}", f"x{at}", f"x{at + 1}", 1.0) for at in range(length)]
    cells = [[Source("B1", "x0", f"x{length}", 3.0 * at / number, 0.0)] for at in range(1, number + 1)]
    nodes = [f"x{at}" for at in range(length + 1)]
    points = sweep(fixed, cells, nodes)
    for cell, point in zip(cells, points, strict=True):
        assert point.volts["x0"] == pytest.approx(cell[0].volts, abs=1e-9)
        assert point.volts[f"x{length // 2}"] == pytest.approx(cell[0].volts * (1 - length // 2 / length), rel=1e-4)
    assert points[-1].volts == pytest.approx(solve(Netlist((*fixed, *cells[-1]))).volts, abs=1e-9)


def test_nothing_to_sweep() -> None:
    assert sweep([Resistor("R1", "a", "b", 5.0)], [], ["a"]) == []


def test_a_node_that_nothing_touches_rests_at_ground() -> None:
    assert sweep([], [[Source("B1", "p", "n", 3.0, 15.0)]], ["x"])[0].volts == {"x": 0.0}
