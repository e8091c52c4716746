"""Situations: their names and order, the cut past 64, and volts, amps and hours worked out by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from checks.findings import Situation
from checks.setting import MOST_SITUATIONS
from checks.sewn import sew
from checks.situations import Situations
from projects.circuit.fabric import lay_out
from projects.circuit.project_file import read
from tests.generated.draft import Draft

LANTERN = Path(__file__).parent.parent / "cases" / "lantern-patch.json"

THERMAL_VOLTS = 1.380649e-23 * 300.15 / 1.602176634e-19
"""kT/q at 300.15 K; k and q exact, source: the SI, 9th edition (2019)."""


def by_name(situations: Situations) -> dict[str, Situation]:
    return {solved.situation.name: solved.situation for solved in situations.solved}


def of_draft(draft: Draft) -> Situations:
    draft.outlines = {"front": [0j, 2000 + 0j, 2000 + 2000j, 2000j]}
    draft.project.setdefault("thread", {"contact_ohms": 0.0})
    return Situations(sew(lay_out(draft.document())))


def lantern() -> Situations:
    return Situations(sew(lay_out(read(LANTERN.read_bytes()))))


def amps_of_white_light(volts: float, ohms: float) -> float:
    """Current through one white light and `ohms` in all, by halving: volts = amps × ohms + n·kT/q·ln(amps/Is + 1)."""
    low, high = 0.0, volts / ohms
    for _ in range(200):
        amps = (low + high) / 2
        if amps * ohms + 3.696 * THERMAL_VOLTS * math.log1p(amps / 4.62e-16) < volts:
            low = amps
        else:
            high = amps
    return low


@pytest.mark.parametrize(("cell", "volts", "inner"), [("fresh", 3.0, 15.0), ("used", 2.7, 30.0)])
def test_the_lantern_patch_by_hand(cell: str, volts: float, inner: float) -> None:
    """30 ohm/m × take-up 1.2 / 2 strands = 18 ohm/m, and half an ohm at each sewn terminal.

    + from B1.p1: 57 mm and 42 mm, two terminals; from the light to the switch: 89 mm, two terminals; from the switch
    to B1.n2: 68 mm, two terminals. The lines that join the holder's own holes carry nothing. The light has 66 ohm.
    """
    plus = 0.018 * (57 + 42) + 2 * 0.5
    to_switch, to_minus = 0.018 * 89 + 2 * 0.5, 0.018 * 68 + 2 * 0.5
    amps = amps_of_white_light(volts, inner + plus + 66.0 + to_switch + to_minus)
    found = by_name(lantern())[f"S1=on, {cell}"]
    # What leaks through a gigohm at each node is some ten nanoamps.
    assert found.amps == pytest.approx({"B1": amps, "L1": amps}, abs=3e-8)
    at_cell = volts - inner * amps
    by_hand = {
        "B1.p1": at_cell,
        "B1.p2": at_cell,
        "L1.plus": at_cell - plus * amps,
        "L1.minus": (to_switch + to_minus) * amps,
        "S1.b": to_minus * amps,
        "S1.a": to_minus * amps,
        "B1.n1": 0.0,
        "B1.n2": 0.0,
    }
    assert found.volts == pytest.approx(by_hand, abs=1e-6)
    assert found.hours == pytest.approx(200 / (1000 * amps), rel=1e-4)
    assert found.pin_amps == {}
    assert found.cell == cell


def test_the_lantern_patch_switched_off() -> None:
    found = by_name(lantern())["S1=off, fresh"]
    assert abs(found.amps["L1"]) < 1e-7
    assert found.hours is None
    assert found.volts["B1.p1"] == pytest.approx(3.0, abs=1e-5)
    assert found.volts["S1.a"] == pytest.approx(0.0, abs=1e-6)
    assert found.volts["S1.b"] is not None  # the light ties it to the cell, however little runs


def test_names_in_order_switches_slowest_cell_fastest() -> None:
    assert [solved.situation.name for solved in lantern().solved] == [
        "S1=off, fresh",
        "S1=off, used",
        "S1=on, fresh",
        "S1=on, used",
    ]


def board(**pins: str) -> Draft:
    """A cell straight on a board; a light from plus to a1, one from a2 to minus; a sensor and a switch besides."""
    draft = Draft("Board")
    draft.part("S1", "slide-switch", 400 + 400j)
    draft.part("M1", "controller-5", 300 + 200j)
    draft.part("R1", "light-sensor", 800 + 400j)
    draft.part("B1", "coin-holder", 100 + 200j)
    draft.part("L1", "light-red", 500 + 300j)
    draft.part("L2", "light-red", 500 + 100j)
    draft.line("plus", "B1.p1", "M1.plus", 60 + 100j, 280 + 100j, wave=False)
    draft.line("minus", "B1.n2", "M1.minus", wave=False)
    draft.line("a1", "M1.a1", "L2.minus", 316 + 160j, 520 + 160j)
    draft.line("plus", "M1.plus", "L2.plus", 284 + 60j, 480 + 60j)
    draft.line("a2", "M1.a2", "L1.plus", 400 + 200j)
    draft.line("minus", "M1.minus", "L1.minus", 284 + 600j, 600 + 600j)
    draft.pins = {f"M1.{name}": use for name, use in pins.items()}
    return draft


def test_a_name_holds_switches_driven_pins_and_sensors_in_the_order_of_parts() -> None:
    situations = of_draft(board(a2="output"))
    names = [solved.situation.name for solved in situations.solved]
    assert len(names) == 2 * 2 * 2 * 2
    assert names[:4] == [
        "S1=off, M1.a2=low, R1=dark, fresh",
        "S1=off, M1.a2=low, R1=dark, used",
        "S1=off, M1.a2=low, R1=bright, fresh",
        "S1=off, M1.a2=low, R1=bright, used",
    ]
    assert "S1=on, M1.a2=high, R1=dark, fresh" in names
    assert situations.all_of_them


def test_all_outputs_go_low_and_high_together_and_fade_is_an_output() -> None:
    names = by_name(of_draft(board(a2="fade", a1="output", a3="input")))
    assert "S1=off, M1.a1=high, M1.a2=high, R1=dark, fresh" in names
    assert not any("M1.a3" in name or ("a1=low" in name and "a2=high" in name) for name in names)


@pytest.mark.parametrize("use", ["input", "analog", "touch"])
def test_what_a_pin_only_reads_is_no_choice_and_draws_nothing(use: str) -> None:
    found = by_name(of_draft(board(a3=use)))
    assert not any("M1" in name for name in found)
    assert all(one.pin_amps == {} for one in found.values())


def test_amps_of_pins_count_out_of_them() -> None:
    """A high pin feeds L1: positive. A low one takes in what runs through L2 from plus: negative."""
    found = by_name(of_draft(board(a1="output", a2="output")))
    high = found["S1=off, M1.a1=high, M1.a2=high, R1=dark, fresh"]
    low = found["S1=off, M1.a1=low, M1.a2=low, R1=dark, fresh"]
    assert high.pin_amps["M1.a2"] == pytest.approx(high.amps["L1"], abs=1e-7)
    assert high.amps["L1"] > 0.003
    assert abs(high.pin_amps["M1.a1"]) < 1e-6
    assert low.pin_amps["M1.a1"] == pytest.approx(-low.amps["L2"], abs=1e-7)
    assert low.amps["L2"] > 0.003
    assert abs(low.pin_amps["M1.a2"]) < 1e-6


def test_a_boards_amps_are_all_that_run_into_its_plus() -> None:
    """The cell feeds the board and, by the same thread, L2: with pins low L2's current returns through the pin."""
    found = by_name(of_draft(board(a1="output", a2="output")))
    high = found["S1=off, M1.a1=high, M1.a2=high, R1=dark, fresh"]
    assert high.amps["M1"] == pytest.approx(0.005 + high.amps["L1"], abs=1e-6)
    assert high.amps["B1"] == pytest.approx(high.amps["M1"], abs=1e-6)
    low = found["S1=off, M1.a1=low, M1.a2=low, R1=dark, fresh"]
    assert low.amps["M1"] == pytest.approx(0.005, abs=1e-6)
    assert low.amps["B1"] == pytest.approx(0.005 + low.amps["L2"], abs=1e-6)


def test_a_pull_up_is_plus_through_35_kilohm() -> None:
    """Through L1 it gives (volts at plus − volts at the pin) / 35 kilohm."""
    found = by_name(of_draft(board(a2="input-pull-up")))["S1=off, R1=dark, fresh"]
    plus, pin = found.volts["M1.plus"], found.volts["M1.a2"]
    assert plus is not None
    assert pin is not None
    assert found.amps["L1"] == pytest.approx((plus - pin) / 35_000, abs=1e-8)
    assert found.amps["M1"] == pytest.approx(0.005 + found.amps["L1"], abs=1e-7)


def test_null_where_nothing_joins_the_cell() -> None:
    found = by_name(of_draft(board(a1="output")))
    for one in found.values():
        nothing = {name for name, volts in one.volts.items() if volts is None}
        assert nothing == {"S1.a", "S1.b", "R1.a", "R1.b", "M1.a3"}
        assert len(one.volts) == 2 + 5 + 2 + 4 + 2 + 2


def test_a_switch_ties_its_far_side_to_the_cell_only_when_closed() -> None:
    draft = Draft("Half")
    draft.part("B1", "coin-holder", 100 + 200j)
    draft.part("S1", "slide-switch", 300 + 200j)
    draft.line("minus", "B1.n1", "S1.a", wave=False)
    found = by_name(of_draft(draft))
    assert (found["S1=off, fresh"].volts["S1.a"], found["S1=off, fresh"].volts["S1.b"]) == (0.0, None)
    assert found["S1=on, fresh"].volts["S1.b"] == 0.0


def test_parts_without_a_place_tie_nothing_together() -> None:
    """Two snaps, each with one half placed: the halves that lie nowhere are not one place."""
    draft = Draft("Halves")
    draft.part("B1", "coin-holder", 100 + 200j)
    for ref, at in (("S1", 300 + 200j), ("S2", 500 + 200j)):
        draft.types[ref] = "snap"
        draft.part(ref, "snap", at)
        draft.puts[f"{ref}.a"] = draft.puts.pop(ref)
    draft.part("L1", "light-red", 700 + 700j)
    del draft.puts["L1"]
    draft.line("minus", "B1.n1", "S1.a", wave=False)
    found = by_name(of_draft(draft))["S1=closed, S2=closed, fresh"]
    assert found.volts["S1.a"] == 0.0
    assert found.volts["S2.a"] is None
    assert "S1.b" not in found.volts
    assert found.amps["L1"] == pytest.approx(0.0, abs=1e-15)


def test_without_a_cell_all_volts_are_null_and_there_are_no_hours() -> None:
    draft = Draft("No cell")
    draft.part("L1", "light-red", 100 + 200j)
    draft.part("R1", "resistor-1k", 300 + 200j)
    draft.line("x", "L1.plus", "R1.a", 92 + 100j, 280 + 100j)
    found = by_name(of_draft(draft))["fresh"]
    assert set(found.volts.values()) == {None}
    assert found.hours is None
    assert found.amps == pytest.approx({"L1": 0.0, "R1": 0.0}, abs=1e-15)


def test_a_shorted_cell_by_hand() -> None:
    """3 V behind 15 ohm, and 0.018 ohm/mm × 26 mm between: 3 / 15.468 A."""
    draft = Draft("Short")
    draft.part("B1", "coin-holder", 100 + 200j)
    draft.line("wrong", "B1.p1", "B1.n1", wave=False)
    found = by_name(of_draft(draft))["fresh"]
    assert found.amps["B1"] == pytest.approx(3.0 / (15.0 + 0.018 * 26.0), rel=1e-6)
    assert found.hours == pytest.approx(0.2 * 15.468 / 3.0, rel=1e-6)


def switches(number: int, kind: str = "slide-switch") -> Draft:
    draft = Draft("Switches")
    for at in range(number):
        draft.part(f"S{at}", kind, complex(100 + 50 * at, 100))
    return draft


def test_up_to_64_situations_all_are_solved() -> None:
    situations = of_draft(switches(5))
    assert situations.all_of_them
    assert len({setting.name for setting in situations.settings}) == MOST_SITUATIONS


def test_past_64_one_thing_at_a_time_differs_from_all_on() -> None:
    draft = switches(5)
    draft.part("T1", "temperature-sensor", 1000 + 500j)
    situations = of_draft(draft)
    assert not situations.all_of_them
    fresh = [setting.choices for setting in situations.settings if setting.cell == "fresh"]
    on = {**{f"S{at}": "on" for at in range(5)}, "T1": "warm"}
    assert fresh == [
        on,
        *({**on, f"S{at}": "off"} for at in range(5)),
        {**on, "T1": "cold"},
        {**on, "T1": "room"},
    ]
    used = [setting.choices for setting in situations.settings if setting.cell == "used"]
    assert used == fresh
    assert len(situations.solved) == 16


def test_points_in_other_settings() -> None:
    situations = lantern()
    point = situations.points([situations.settings[2]])[0]
    assert point.volts == pytest.approx(situations.solved[2].point.volts, abs=1e-9)
    assert situations.points([]) == []


def test_hundreds_of_switches_are_not_tried_each() -> None:
    """Every change by itself would be 200 ways; 32 ways with a fresh and a used cell are as many as are ever solved."""
    situations = of_draft(switches(100))
    assert not situations.all_of_them
    assert len(situations.settings) == MOST_SITUATIONS
    assert [setting.cell for setting in situations.settings[:2]] == ["fresh", "used"]
    assert set(situations.settings[0].choices.values()) == {"on"}


def test_a_wrong_use_of_a_supply_terminal_drives_nothing() -> None:
    """It is `wrong-pin`; the circuit works as it does without it."""
    wrong = {**board(a2="output").pins, "M1.plus": "output", "M1.minus": "input-pull-up"}
    draft = board(a2="output")
    right = by_name(of_draft(draft))
    draft.pins = wrong
    found = by_name(of_draft(draft))
    assert {name: (one.volts, one.amps, one.pin_amps) for name, one in found.items()} == {
        name: (one.volts, one.amps, one.pin_amps) for name, one in right.items()
    }
