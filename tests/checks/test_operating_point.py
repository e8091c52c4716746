"""The solver's own promises: an answer for anything, balanced currents and powers, each element's law kept."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.junction import BOLTZMANN, ELEMENTARY_CHARGE
from checks.netlist import GROUND_SIEMENS, Draw, Element, Led, Netlist, Resistor, Source, ends
from checks.operating_point import (
    ROOM_KELVIN,
    SHUNTS,
    STEPS_AT_EACH,
    OperatingPoint,
    residuals,
    solve,
)
from tests.checks.random_netlists import hostile, sewn

MOST_STEPS = STEPS_AT_EACH * (1 + len(SHUNTS))
# Far above any cell: beyond it the rounding of node volts alone moves more than 1e-9 A through a milliohm.
MOST_AMPS = 1e4


def across(element: Element, point: OperatingPoint) -> float:
    first, second = ends(element)
    return point.volts[first] - point.volts[second]


def assert_sound(netlist: Netlist, point: OperatingPoint) -> None:
    """A number for every node and element, in bounded steps."""
    assert set(point.volts) == set(netlist.nodes)
    assert set(point.amps) == {element.name for element in netlist.elements}
    assert all(math.isfinite(number) for number in (*point.volts.values(), *point.amps.values()))
    assert 1 <= point.steps <= MOST_STEPS


def assert_balanced(netlist: Netlist, point: OperatingPoint) -> None:
    left = residuals(netlist, point)
    for node, imbalance in left.items():
        # Nodes that zero ohms make one share their rounding.
        largest = max(left[other].largest for other in left if netlist.merged[other] == netlist.merged[node])
        assert abs(imbalance.amps) <= 1e-9 + 1e-6 * largest, node


def assert_laws_kept(netlist: Netlist, point: OperatingPoint, kelvin: float = ROOM_KELVIN) -> None:
    """Each element's amps against the law as its class states it, written out anew."""
    for element in netlist.elements:
        amps, volts = point.amps[element.name], across(element, point)
        match element:
            case Resistor():
                assert volts == pytest.approx(0.0 if element.is_zero else amps * element.ohms, abs=1e-9)
            case Source():
                assert volts == pytest.approx(element.volts - amps * element.ohms, abs=1e-7)
            case Led():
                thermal = element.ideality * BOLTZMANN * kelvin / ELEMENTARY_CHARGE
                junction = volts - amps * element.ohms
                expected = element.saturation_amps * math.expm1(junction / thermal)
                assert amps == pytest.approx(expected, rel=1e-6, abs=1e-12)
            case Draw():
                share = min(max(volts / element.min_volts, 0.0), 1.0)
                assert amps == pytest.approx(element.amps * share, abs=1e-12)


@pytest.mark.parametrize("seed", range(60))
def test_a_sewn_circuit_keeps_every_law_and_balances_every_node(seed: int) -> None:
    netlist = sewn(seed)
    point = solve(netlist)
    assert point.converged
    assert point.steps <= STEPS_AT_EACH
    assert_sound(netlist, point)
    assert_balanced(netlist, point)
    assert_laws_kept(netlist, point)


@pytest.mark.parametrize("seed", range(300))
def test_a_hostile_circuit_has_an_answer_within_bounded_steps(seed: int) -> None:
    netlist = hostile(seed)
    point = solve(netlist)
    assert_sound(netlist, point)
    if all(one.ohms > 0.0 for one in netlist.elements if isinstance(one, Source)):
        assert point.converged  # every law rises with its volts, so one solution exists
    if point.converged and max(map(abs, point.amps.values())) < MOST_AMPS:
        assert_balanced(netlist, point)


@pytest.mark.parametrize("seed", range(60))
def test_power_given_is_power_taken(seed: int) -> None:
    netlist = sewn(seed)
    point = solve(netlist)
    given_watts = sum(one.volts * point.amps[one.name] for one in netlist.elements if isinstance(one, Source))
    taken = sum(
        point.amps[one.name] ** 2 * one.ohms if isinstance(one, Source) else point.amps[one.name] * across(one, point)
        for one in netlist.elements
    )
    leaked = sum(GROUND_SIEMENS * point.volts[node] ** 2 for node in dict.fromkeys(netlist.merged.values()))
    assert given_watts == pytest.approx(taken + leaked, rel=1e-9)


@given(st.permutations(range(20)), st.integers(0, 40))
def test_the_order_of_the_elements_does_not_matter(order: list[int], seed: int) -> None:
    netlist = sewn(seed, nodes=12, lights=4)
    shuffled = sorted(netlist.elements, key=lambda one: order[netlist.elements.index(one) % len(order)])
    one, other = solve(netlist), solve(Netlist(tuple(shuffled), netlist.zero_volts))
    assert other.volts == pytest.approx(one.volts, abs=1e-7)


def test_the_sign_of_a_current() -> None:
    netlist = Netlist(
        (
            Source("B1", "p", "n", 3.0, 10.0),
            Resistor("R1", "n", "p", 90.0),
            Draw("M1", "p", "n", 0.001, 2.0),
        )
    )
    point = solve(netlist)
    assert point.amps["B1"] > 0
    assert point.amps["R1"] < 0
    assert point.amps["M1"] == pytest.approx(0.001)


def test_a_reversed_light_is_dark() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 15.0), Led("L1", "n", "p", 1.07e-19, 1.848, 5.0)))
    point = solve(netlist)
    assert point.converged
    assert point.amps["L1"] == pytest.approx(-1.07e-19)


@pytest.mark.parametrize(("cell_volts", "expected"), [(3.0, 0.008), (1.0, 0.0036364), (0.0, 0.0)])
def test_a_draw_falls_linearly_below_its_least_volts(cell_volts: float, expected: float) -> None:
    # below 2 V the draw is a resistance of 2 V / 8 mA = 250 ohm
    netlist = Netlist((Source("B1", "p", "n", cell_volts, 25.0), Draw("M1", "p", "n", 0.008, 2.0)))
    assert solve(netlist).amps["M1"] == pytest.approx(expected, abs=1e-7)


def test_a_draw_that_the_cell_cannot_feed_settles_on_its_slope() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 1000.0), Draw("M1", "p", "n", 0.010, 2.0)))
    point = solve(netlist)
    assert point.converged
    assert point.volts["p"] == pytest.approx(3.0 * 200 / 1200, abs=1e-6)


def test_a_draw_takes_nothing_from_a_cell_turned_round() -> None:
    netlist = Netlist((Source("B1", "n", "p", 3.0, 15.0), Draw("M1", "p", "n", 0.008, 1.8)))
    assert solve(netlist).amps["M1"] == 0.0


def test_a_cell_of_no_resistance_holds_its_volts() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 0.0), Resistor("R1", "p", "n", 100.0)))
    point = solve(netlist)
    assert point.converged
    assert point.amps["B1"] == pytest.approx(0.03, rel=1e-6)


def test_a_shorted_cell_gives_what_its_resistance_lets_through() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 20.0), Resistor("touch", "p", "n", 0.0)))
    point = solve(netlist)
    assert point.converged
    assert point.volts == {"n": 0.0, "p": 0.0}
    assert point.amps == {"B1": pytest.approx(0.15), "touch": pytest.approx(0.15)}


@pytest.mark.parametrize(
    "elements",
    [
        (Source("B1", "p", "n", 3.0, 0.0), Resistor("touch", "p", "n", 0.0)),
        (Source("B1", "p", "n", 3.0, 0.0), Source("B2", "p", "n", 1.5, 0.0)),
        (Source("B1", "p", "p", 3.0, 0.0), Led("L1", "p", "n", 1e-14, 1.0, 0.0)),
        (Source("B1", "p", "n", 9.0, 0.0), Led("L1", "p", "n", 1e-14, 1.0, 0.0)),
    ],
)
def test_a_circuit_without_a_solution_says_so(elements: tuple[Element, ...]) -> None:
    netlist = Netlist(elements)
    point = solve(netlist)
    assert not point.converged
    assert_sound(netlist, point)


def test_equal_cells_of_no_resistance_share() -> None:
    netlist = Netlist(
        (Source("B1", "p", "n", 3.0, 0.0), Source("B2", "p", "n", 3.0, 0.0), Resistor("R1", "p", "n", 100.0))
    )
    point = solve(netlist)
    assert point.converged
    assert point.amps["B1"] == pytest.approx(0.015, rel=1e-6)


def test_a_ring_of_closed_switches_shares_the_current() -> None:
    netlist = Netlist(
        (
            Source("B1", "p", "n", 3.0, 10.0),
            Resistor("S1", "p", "x", 0.0),
            Resistor("S2", "p", "x", 0.0),
            Resistor("R1", "x", "n", 90.0),
        )
    )
    point = solve(netlist)
    assert point.amps["S1"] == pytest.approx(0.015)
    assert point.amps["S2"] == pytest.approx(0.015)
    assert_balanced(netlist, point)


def test_nothing_at_all_is_solved_too() -> None:
    assert solve(Netlist(())) == OperatingPoint({"": 0.0}, {}, 1, True)


def test_an_island_rests_at_ground() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 15.0), Resistor("R1", "i", "j", 0.002)))
    point = solve(netlist)
    assert point.converged
    assert (point.volts["i"], point.volts["j"], point.amps["R1"]) == (0.0, 0.0, 0.0)


def test_an_island_behind_a_gigohm_keeps_its_half_of_the_volts() -> None:
    """Rounding beside a milliohm must not move a node that only gigohms hold."""
    netlist = Netlist(
        (
            Source("B1", "p", "n", 3.0, 0.0),
            Resistor("far", "p", "i", 1e9),
            *(Resistor(f"R{at}", "i", f"j{at}", 0.001) for at in range(3)),
        )
    )
    # four nodes of 1e-9 S each against 1e-9 S from 3 V
    assert solve(netlist).volts["j2"] == pytest.approx(3.0 / 5.0, abs=1e-9)


def test_the_gigohm_to_ground_can_be_changed() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 0.0), Resistor("R1", "p", "x", 1e6)))
    point = solve(netlist, extra_ground_siemens=1e-6)
    assert point.volts["x"] == pytest.approx(1.5)
    left = residuals(netlist, point, extra_ground_siemens=1e-6)
    assert max(abs(one.amps) for one in left.values()) < 1e-12


def test_a_residual_shows_a_current_that_is_not_there() -> None:
    netlist = Netlist((Source("B1", "p", "n", 3.0, 10.0), Resistor("R1", "p", "n", 90.0)))
    point = solve(netlist)
    wrong = OperatingPoint(point.volts, {**point.amps, "R1": 0.0}, point.steps, True)
    assert residuals(netlist, wrong)["p"].amps == pytest.approx(-0.03, rel=1e-6)


def test_the_first_tangent_never_passes_for_the_last() -> None:
    """Nothing drives this circuit hard, so the first step hardly moves; its tangents were taken far from 0 V."""
    netlist = Netlist((Source("B1", "p", "n", 1e-8, 0.0), Led("L1", "p", "n", 1e-9, 2.0, 1e-6)))
    point = solve(netlist)
    assert point.converged
    assert point.steps > 1
    assert_laws_kept(netlist, point)
    assert_balanced(netlist, point)


def test_numbers_past_all_reason_are_no_crash() -> None:
    rng = random.Random(11)

    def any_size() -> float:
        return 10.0 ** rng.uniform(-300.0, 300.0)

    for _ in range(300):
        elements: list[Element] = []
        for at in range(rng.randint(1, 8)):
            a, b = (f"x{rng.randrange(5)}" for _ in range(2))
            ohms = rng.choice((0.0, any_size()))
            kinds: tuple[Element, ...] = (
                Resistor(f"e{at}", a, b, ohms),
                Source(f"e{at}", a, b, any_size(), ohms),
                Led(f"e{at}", a, b, any_size(), any_size(), ohms),
                Draw(f"e{at}", a, b, any_size(), any_size()),
            )
            elements.append(rng.choice(kinds))
        assert_sound(Netlist(tuple(elements)), solve(Netlist(tuple(elements))))
