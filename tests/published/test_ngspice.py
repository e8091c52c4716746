"""Whole circuits against ngspice's operating point: every node within a microvolt.

Source: ngspice, a general-purpose circuit simulator; `ngspice.py` says what makes the two comparable.
"""

import math

import pytest

from checks.netlist import Led, Netlist, Resistor, Source
from checks.operating_point import ROOM_KELVIN, solve
from tests.bench.operating_point import eight_lights
from tests.checks.random_netlists import sewn
from tests.published.ngspice import operating_points, same_kelvin

MICROVOLT = 1e-6


def furthest(netlists: list[Netlist], kelvin: float) -> list[float]:
    """For each netlist the greatest distance of a node's volts from ngspice's."""
    distances = []
    for netlist, theirs in zip(netlists, operating_points(netlists, kelvin), strict=True):
        point = solve(netlist, kelvin=same_kelvin(kelvin))
        assert point.converged
        assert point.volts.keys() == theirs.keys()
        distances.append(max(abs(point.volts[node] - volts) for node, volts in theirs.items()))
    return distances


@pytest.mark.parametrize("kelvin", [ROOM_KELVIN, 278.15, 313.15])
def test_sewn_circuits_of_every_size(kelvin: float) -> None:
    """120 circuits at each temperature: trees and meshes of thread, cells, lights either way, shorts, islands."""
    first = round(kelvin)
    netlists = [sewn(first * 1000 + seed, nodes=6 + seed % 60, lights=1 + seed % 9) for seed in range(120)]
    distances = furthest(netlists, kelvin)
    assert len(distances) == 120
    assert [(seed, off) for seed, off in enumerate(distances) if not off <= MICROVOLT] == []


def test_the_circuit_of_the_bench() -> None:
    assert furthest([eight_lights()], ROOM_KELVIN)[0] <= MICROVOLT


def test_opens_of_a_gigohm() -> None:
    """A fault's open is 1e9 ohm: lights behind one, in a chain with nothing else to hold the nodes between."""
    netlists = [
        Netlist(
            (
                Source("B1", "p", "n", 3.0, 15.0),
                Resistor("open", "p", "a", 1e9) if at == 0 else Resistor("closed", "p", "a", 3.0),
                Led("L1", "a", "b", 1.07e-19, 1.848, 5.0),
                Led("L2", "b", "c", 4.62e-16, 3.696, 10.0),
                Resistor("back", "c", "n", 1e9 if at == 1 else 4.0),
            )
        )
        for at in range(3)
    ]
    assert max(furthest(netlists, ROOM_KELVIN)) <= MICROVOLT


def test_another_thermal_voltage_would_show() -> None:
    """The comparison can fail: with SI 2019's k/q against another's, or one kelvin off, more than rounding is left."""
    netlist = Netlist((Source("B1", "p", "n", 3.0, 15.0), Led("L1", "p", "n", 1.07e-19, 1.848, 0.0)))
    theirs = operating_points([netlist], ROOM_KELVIN)[0]["p"]
    warmer = solve(netlist, kelvin=same_kelvin(ROOM_KELVIN + 1.0)).volts["p"]
    assert math.isclose(solve(netlist, kelvin=same_kelvin(ROOM_KELVIN)).volts["p"], theirs, abs_tol=1e-9)
    assert abs(warmer - theirs) > 1e-3
