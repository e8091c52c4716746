"""Circuits with known answers. The published source stands beside each check; the way it is wired up is ours.

Where a row of a source holds for any values, the law behind it is checked on values made at random as well.
"""

import itertools
import math
import random

import networkx as nx
import pytest
from scipy.special import lambertw

from checks.junction import BOLTZMANN, ELEMENTARY_CHARGE
from checks.netlist import Element, Led, Netlist, Resistor, Source
from checks.operating_point import resistance_matrix, solve, two_terminal_ohms

# The rows on LEDs and diodes are stated at V_T = 0.025852 V, which is 300.0 K.
THERMAL_VOLTS = 0.025852
KELVIN = THERMAL_VOLTS * ELEMENTARY_CHARGE / BOLTZMANN
HARDLY_ANY_LEAK = 1e-15


def amps_of(*elements: Element, ground: str | None = None) -> dict[str, float]:
    point = solve(Netlist(elements, ground), kelvin=KELVIN, extra_ground_siemens=HARDLY_ANY_LEAK)
    assert point.converged
    return point.amps


# --- OpenStax, University Physics volume 2, chapter 10 (open textbook), recomputed -------------------------------


def test_a_cell_with_internal_resistance() -> None:
    """Source: OpenStax University Physics vol. 2, section 10.1."""
    point = solve(Netlist((Source("B", "p", "n", 12.0, 0.1), Resistor("R", "p", "n", 10.0))))
    assert point.amps["R"] == pytest.approx(1.188, abs=5e-4)
    assert point.volts["p"] == pytest.approx(11.881, abs=5e-4)


def test_five_in_series() -> None:
    """Source: OpenStax University Physics vol. 2, section 10.2."""
    chain = [Resistor(f"R{at}", f"x{at}", f"x{at + 1}", ohms) for at, ohms in enumerate((20, 20, 20, 20, 10))]
    amps = amps_of(Source("B", "x0", "x5", 9.0, 0.0), *chain)
    assert amps["R2"] == pytest.approx(0.1)
    assert sum(amps[one.name] ** 2 * one.ohms for one in chain) == pytest.approx(0.9)


def test_three_in_parallel() -> None:
    """Source: OpenStax University Physics vol. 2, chapter 10."""
    amps = amps_of(
        Source("B", "p", "n", 3.0, 0.0),
        *(Resistor(f"R{at}", "p", "n", ohms) for at, ohms in enumerate((1.0, 2.0, 2.0))),
    )
    assert [amps[name] for name in ("B", "R0", "R1", "R2")] == pytest.approx([6.0, 3.0, 1.5, 1.5])


def test_series_and_parallel_of_24_volts() -> None:
    """Source: OpenStax University Physics vol. 2, chapter 10."""
    resistors = (
        Resistor("R7", "p", "x", 7.0),
        Resistor("R10", "x", "n", 10.0),
        Resistor("R6", "x", "y", 6.0),
        Resistor("R4", "y", "n", 4.0),
    )
    amps = amps_of(Source("B", "p", "n", 24.0, 0.0), *resistors)
    assert [amps[name] for name in ("R7", "R10", "R6")] == pytest.approx([2.0, 1.0, 1.0])
    assert two_terminal_ohms(Netlist(resistors), "p", "n") == pytest.approx(12.0)


def test_series_and_parallel_of_12_volts() -> None:
    """Source: OpenStax University Physics vol. 2, chapter 10."""
    resistors = (
        Resistor("R1", "p", "x", 1.0),
        Resistor("R2", "x", "n", 6.0),
        Resistor("R3", "x", "n", 13.0),
    )
    amps = amps_of(Source("B", "p", "n", 12.0, 0.0), *resistors)
    assert two_terminal_ohms(Netlist(resistors), "p", "n") == pytest.approx(5.105, abs=5e-4)
    # 12 V over 97/19 ohm is 2.3505 A; the book carries on with 2.35
    assert amps["B"] == pytest.approx(2.351, abs=6e-4)
    assert amps["R2"] == pytest.approx(1.608, abs=5e-4)


def test_three_branches_with_two_cells() -> None:
    """Source: OpenStax University Physics vol. 2, section 10.3: I1 = I2 + I3, 3 I1 + 3 I2 = 24, 3 I2 − 7 I3 = 29."""
    amps = amps_of(
        Source("E1", "x1", "g", 24.0, 0.0),
        Resistor("R1", "x1", "a", 3.0),
        Resistor("R2", "a", "g", 3.0),
        Resistor("R3", "a", "x3", 7.0),
        Source("E3", "x3", "g", 29.0, 0.0),
    )
    assert [amps[name] for name in ("R1", "R2", "R3")] == pytest.approx([3.0, 5.0, -2.0])


def test_three_branches_with_cells_of_some_resistance() -> None:
    """Source: OpenStax University Physics vol. 2, section 10.3: I1 + I2 = I3, 3 I1 − 8 I2 = −1.8, 8 I2 + I3 = 2.9."""
    amps = amps_of(Source("E1", "a", "g", 1.1, 3.0), Source("E2", "a", "g", 2.9, 8.0), Resistor("R3", "a", "g", 1.0))
    assert [amps[name] for name in ("E1", "E2", "R3")] == pytest.approx([0.2, 0.3, 0.5])


@pytest.mark.parametrize("bridge", [None, 0.0, 5.0, 1e6])
def test_a_balanced_bridge_carries_nothing(bridge: float | None) -> None:
    """Source: OpenStax University Physics vol. 2, chapter 10: 12 ohm with and without the bridge."""
    resistors: list[Element] = [Resistor("R4", "p", "top", 4.0)]
    for side in ("left", "right"):
        resistors += [Resistor(f"{side}1", "top", side, 8.0), Resistor(f"{side}2", side, "n", 8.0)]
    if bridge is not None:
        resistors.append(Resistor("bridge", "left", "right", bridge))
    assert two_terminal_ohms(Netlist(tuple(resistors)), "p", "n") == pytest.approx(12.0)
    amps = amps_of(Source("B", "p", "n", 12.0, 0.0), *resistors)
    assert amps["B"] == pytest.approx(1.0)
    assert amps.get("bridge", 0.0) == pytest.approx(0.0, abs=1e-9)


# --- Networks with known answers ---------------------------------------------------------------------------------


def unit_ohms(graph: nx.Graph) -> Netlist:
    return Netlist(tuple(Resistor(f"R{at}", str(a), str(b), 1.0) for at, (a, b) in enumerate(graph.edges)))


@pytest.mark.parametrize(("to", "ohms"), [((0, 0, 1), 7 / 12), ((0, 1, 1), 3 / 4), ((1, 1, 1), 5 / 6)])
def test_a_cube_of_one_ohm_edges(to: tuple[int, int, int], ohms: float) -> None:
    """Edge, face and body diagonal. Source: a classic of textbooks, derived anew by symmetry."""
    cube = unit_ohms(nx.hypercube_graph(3))
    assert two_terminal_ohms(cube, str((0, 0, 0)), str(to)) == pytest.approx(ohms, rel=1e-12)
    ideal = amps_of(*cube.elements, Source("B", str((0, 0, 0)), str(to), 1.0, 0.0))
    assert 1.0 / ideal["B"] == pytest.approx(ohms, rel=1e-9)


@pytest.mark.parametrize("n", range(2, 13))
def test_a_complete_graph(n: int) -> None:
    """2/n between any two. Source: derived by symmetry (n − 2 paths of 2 ohm beside one of 1)."""
    assert two_terminal_ohms(unit_ohms(nx.complete_graph(n)), "0", "1") == pytest.approx(2 / n, rel=1e-12)


@pytest.mark.parametrize("n", [3, 4, 9])
def test_a_ring(n: int) -> None:
    """k (n − k) / n between places k apart. Source: two arms in parallel."""
    ring = unit_ohms(nx.cycle_graph(n))
    for k in range(n):
        assert two_terminal_ohms(ring, "0", str(k)) == pytest.approx(k * (n - k) / n, rel=1e-12)


@pytest.mark.parametrize(("rungs", "ohms"), [(1, 2.0), (2, 5 / 3), (3, 13 / 8), (4, 34 / 21), (30, 1.618034)])
def test_a_ladder_nears_the_golden_ratio(rungs: int, ohms: float) -> None:
    """Source: derived, quotients of Fibonacci numbers, by adding one rung at a time."""
    ladder = []
    for at in range(rungs):
        ladder += [Resistor(f"rail{at}", f"x{at}", f"x{at + 1}", 1.0), Resistor(f"rung{at}", f"x{at + 1}", "n", 1.0)]
    assert two_terminal_ohms(Netlist(tuple(ladder)), "x0", "n") == pytest.approx(ohms, abs=5e-7)


def random_network(seed: int) -> tuple[nx.Graph, Netlist]:
    rng = random.Random(seed)
    nodes = rng.randint(2, 25)
    graph = nx.random_labeled_tree(nodes, seed=seed)
    for _ in range(rng.randint(0, nodes)):
        graph.add_edge(*rng.sample(range(nodes), 2))
    for _, _, data in graph.edges(data=True):
        data["ohms"] = 10.0 ** rng.uniform(-1.0, 4.0)
    return graph, Netlist(tuple(Resistor(f"R{a}-{b}", str(a), str(b), ohms) for a, b, ohms in graph.edges(data="ohms")))


@pytest.mark.parametrize("seed", range(40))
def test_resistance_distance_of_networkx(seed: int) -> None:
    """Source: networkx.resistance_distance, a general-purpose graph library (pseudo-inverse of the Laplacian)."""
    graph, netlist = random_network(seed)
    theirs = nx.resistance_distance(graph, weight="ohms", invert_weight=True)
    names = [str(node) for node in range(len(graph))]
    matrix = resistance_matrix(netlist, names)
    for a, b in itertools.combinations(range(len(graph)), 2):
        assert two_terminal_ohms(netlist, str(a), str(b)) == pytest.approx(theirs[a][b], rel=1e-6)
        assert matrix[a, b] == pytest.approx(theirs[a][b], rel=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_fosters_theorem(seed: int) -> None:
    """Over all edges, effective ohms divided by own ohms sum to nodes − 1. Source: R. M. Foster 1949 (from memory)."""
    graph, netlist = random_network(seed)
    total = 0.0
    for a, b, ohms in graph.edges(data="ohms"):
        effective = two_terminal_ohms(netlist, str(a), str(b))
        assert effective is not None
        total += effective / ohms
    assert total == pytest.approx(len(graph) - 1, rel=1e-12)


# --- Junctions ---------------------------------------------------------------------------------------------------


def lambert_amps(volts: float, ohms: float, saturation: float, ideality: float) -> float:
    """Diode and resistor across a source, in closed form. Source: Corless et al. 1996, On the Lambert W Function."""
    scale = ideality * THERMAL_VOLTS
    drop = saturation * ohms
    return scale / ohms * lambertw(drop / scale * math.exp((volts + drop) / scale)).real - saturation


def both_ways(volts: float, ohms: float, saturation: float, ideality: float) -> tuple[float, float]:
    """The resistance as an element of its own beside a bare junction, and as the LED's own series resistance."""
    cell = Source("B", "p", "n", volts, 0.0)
    apart = amps_of(cell, Resistor("R", "p", "x", ohms), Led("L", "x", "n", saturation, ideality, 0.0))
    within = amps_of(cell, Led("L", "p", "n", saturation, ideality, ohms))
    return apart["L"], within["L"]


@pytest.mark.parametrize(
    ("volts", "ohms", "saturation", "ideality", "milliamps"),
    [
        (3.0, 100.0, 1e-18, 2.0, 10.906669),
        (3.0, 220.0, 1e-18, 1.8, 5.953506),
        (5.0, 1000.0, 1e-14, 1.0, 4.307456),
    ],
)
def test_diode_and_resistor(volts: float, ohms: float, saturation: float, ideality: float, milliamps: float) -> None:
    """Source: Lambert W, evaluated by scipy.special.lambertw."""
    assert lambert_amps(volts, ohms, saturation, ideality) == pytest.approx(milliamps / 1000, abs=5e-10)
    for amps in both_ways(volts, ohms, saturation, ideality):
        assert amps == pytest.approx(milliamps / 1000, abs=5e-10)


@pytest.mark.parametrize("seed", range(60))
def test_diode_and_resistor_of_any_size(seed: int) -> None:
    """Source: Lambert W, evaluated by scipy.special.lambertw."""
    rng = random.Random(seed)
    volts, ohms = rng.uniform(0.1, 6.0), 10.0 ** rng.uniform(0.0, 6.0)
    saturation, ideality = 10.0 ** rng.uniform(-22.0, -9.0), rng.uniform(1.0, 4.0)
    expected = lambert_amps(volts, ohms, saturation, ideality)
    for amps in both_ways(volts, ohms, saturation, ideality):
        assert amps == pytest.approx(expected, rel=1e-7, abs=1e-13)


@pytest.mark.parametrize(
    ("saturation", "ideality", "ohms", "forward_volts"),
    [
        (1.07e-19, 1.848, 5.0, 2.0),  # red
        (1.32e-20, 1.848, 5.0, 2.1),  # yellow
        (4.62e-16, 3.696, 10.0, 3.2),  # blue and white, InGaN
    ],
)
def test_lights_at_20_milliamps(saturation: float, ideality: float, ohms: float, forward_volts: float) -> None:
    """Forward volts as makers' data sheets give them (seen on pages that quote them); the fits are derived."""
    led = Led("L", "p", "n", saturation, ideality, ohms)
    netlist = Netlist((Source("B", "p", "n", forward_volts + 0.020 * 1e4, 1e4), led))
    point = solve(netlist, kelvin=KELVIN)
    assert point.amps["L"] == pytest.approx(0.020, rel=1e-5)
    assert point.volts["p"] == pytest.approx(forward_volts, abs=0.005)


# --- Shorts ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("volts", "cell_ohms", "thread_ohms", "amps", "watts"),
    [
        (3.0, 20.0, 0.0, 0.15, 0.0),  # a coin cell, its terminals touching
        (3.0, 0.3, 3.0, 0.9, 2.5),  # two AAA through 0.1 m of thread of 30 ohm/m
        (3.0, 0.3, 1.5, 1.7, 4.2),  # the same thread doubled
    ],
)
def test_a_shorted_cell(volts: float, cell_ohms: float, thread_ohms: float, amps: float, watts: float) -> None:
    """Source: derived from the cells' data by Ohm's law; no published source."""
    found = amps_of(Source("B", "p", "n", volts, cell_ohms), Resistor("thread", "p", "n", thread_ohms))
    assert found["thread"] == pytest.approx(amps, abs=0.05)
    assert found["thread"] ** 2 * thread_ohms == pytest.approx(watts, abs=0.05)
