"""Netlists: what is refused, which nodes are one, which is 0 V; and ohms between two places."""

import math

import numpy as np
import pytest

from checks.netlist import Draw, Led, Netlist, Resistor, Source
from checks.operating_point import resistance_matrix, solve, two_terminal_ohms
from tests.checks.random_netlists import sewn


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Resistor("R1", "a", "b", -1.0), "R1: ohms is -1.0"),
        (lambda: Resistor("R1", "a", "b", math.nan), "R1: ohms is nan"),
        (lambda: Source("B1", "a", "b", math.inf, 1.0), "B1: volts is inf"),
        (lambda: Led("L1", "a", "b", 0.0, 1.0, 1.0), "L1: saturation_amps is 0.0; .* above zero"),
        (lambda: Led("L1", "a", "b", 1e-18, -1.0, 1.0), "L1: ideality is -1.0"),
        (lambda: Draw("M1", "a", "b", 0.001, 0.0), "M1: min_volts is 0.0"),
        (lambda: Netlist((Resistor("R1", "a", "b", 1.0), Resistor("R1", "b", "c", 1.0))), "R1: two elements"),
    ],
)
def test_a_value_that_means_nothing_is_refused(make: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        make()  # type: ignore[operator]


def test_ground_is_the_minus_of_the_cell_else_the_first_node() -> None:
    resistor = Resistor("R1", "a", "b", 1.0)
    assert Netlist((resistor, Source("B1", "b", "c", 3.0, 1.0))).zero_volts == "c"
    assert Netlist((resistor,)).zero_volts == "a"
    assert Netlist((resistor,), "b").nodes == ("b", "a")


def test_zero_ohms_make_nodes_one_and_ground_stands_for_them() -> None:
    netlist = Netlist(
        (
            Resistor("S1", "a", "b", 0.0),
            Resistor("S2", "b", "g", 0.00099),
            Resistor("S3", "g", "a", 0.0),
            Resistor("R1", "a", "c", 0.001),
        ),
        "g",
    )
    assert netlist.merged == {"g": "g", "a": "g", "b": "g", "c": "c"}


def test_ohms_between_places_that_nothing_joins_are_none() -> None:
    netlist = Netlist(
        (
            Resistor("R1", "a", "b", 5.0),
            Resistor("R2", "c", "d", 5.0),
            Led("L1", "b", "c", 1e-18, 2.0, 5.0),
            Source("B1", "b", "c", 3.0, 15.0),
        )
    )
    assert two_terminal_ohms(netlist, "a", "d") is None
    assert two_terminal_ohms(netlist, "a", "nowhere") is None
    assert two_terminal_ohms(netlist, "a", "a") == 0.0
    assert two_terminal_ohms(netlist, "a", "b") == pytest.approx(5.0)


def test_ohms_through_a_closed_switch_are_zero() -> None:
    assert two_terminal_ohms(Netlist((Resistor("S1", "a", "b", 0.0),)), "a", "b") == 0.0


def test_ohms_stay_good_where_a_milliohm_meets_a_gigohm() -> None:
    """By hand: a mesh of 1 milliohm between two gigohms adds less than they can hold; then beside 1 milliohm."""
    mesh = [Resistor(f"m{i}{j}", f"m{i}", f"m{j}", 0.001) for i in range(4) for j in range(i)]
    far = (Resistor("far", "a", "m0", 1e9), Resistor("near", "m3", "b", 1e9))
    assert two_terminal_ohms(Netlist((*mesh, *far)), "a", "b") == pytest.approx(2e9, rel=1e-12)
    assert two_terminal_ohms(Netlist((*mesh, *far)), "m1", "m2") == pytest.approx(0.0005, rel=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_the_matrix_agrees_with_each_pair_and_with_an_ideal_ohmmeter(seed: int) -> None:
    netlist = sewn(seed, nodes=16, lights=0)
    nodes = netlist.nodes
    matrix = resistance_matrix(netlist, nodes)
    assert matrix.shape == (len(nodes), len(nodes))
    np.testing.assert_allclose(matrix, matrix.T)
    for i, a in enumerate(nodes):
        for j, b in enumerate(nodes):
            ohms = two_terminal_ohms(netlist, a, b)
            assert matrix[i, j] == pytest.approx(math.inf if ohms is None else ohms, abs=1e-9)
    threads = tuple(one for one in netlist.elements if isinstance(one, Resistor))
    ohms = two_terminal_ohms(netlist, "p0", "p7")
    assert ohms is not None
    meter = solve(Netlist((*threads, Source("meter", "p0", "p7", 1.0, 1.0))), extra_ground_siemens=1e-15)
    assert 1.0 / meter.amps["meter"] - 1.0 == pytest.approx(ohms, abs=1e-9)
