"""What rules ask of the working circuit, against Ohm's law worked by hand; and where the report is cut."""

import itertools
import math
from types import SimpleNamespace

import pytest

from checks.engine import check
from checks.facts import Facts
from checks.rules import impossible_diagram, never_lit, no_off_switch
from tests.checks.cases import document

OHMS_PER_MM = 30 / 1000 * 1.2 / 2
MANY = {f"S{i}": ["slide-switch"] for i in range(3, 9)}
"""Switches without a place: so many that not all situations are solved."""


def ohms(*points: tuple[float, float]) -> float:
    """A line over these points: thread of the default kind, and an anchor of 0.5 ohm at each end."""
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points)) * OHMS_PER_MM + 1.0


def lamp_ohms(plus: float, minus: float) -> float:
    """Both lines of the base `lamp`, to a part whose holes lie at these x."""
    return ohms((73, 106), (100, 100), (plus, 100)) + ohms((47, 106), (47, 150), (188, 150), (minus, 100))


def text_of(rule: str, case: dict[str, object]) -> str:
    (found,) = [finding for finding in check(document(case)).findings if finding.rule == rule]
    return str(found.text)


def test_volts_that_are_left_for_a_motor() -> None:
    volts = 3 * 40 / (40 + 15 + lamp_ohms(172, 188))
    text = text_of("weak-supply", {"base": "lamp", "parts": {"L1": ["vibration-motor", 180, 100]}})
    assert f"gets only {volts:.1f} V. It needs 2.0 V" in text


def test_hours_are_the_cells_charge_over_its_current() -> None:
    case = {
        "base": "lamp",
        "parts": {"L1": ["resistor-100", 180, 100]},
        "connections": {"plus": ["B1.p1", "B1.p2", "L1.a"], "minus": ["L1.b", "B1.n1", "B1.n2"]},
        "lines": {"a": ["B1.p1", [100, 100], "L1.a"], "c": ["B1.n1", [47, 150], [188, 150], "L1.b"]},
        "set": {"settings": {"hours": 100}},
    }
    amps = 3 / (100 + 15 + lamp_ohms(172, 188))
    text = text_of("short-life", case)
    assert f"{amps * 1000:.0f} mA runs" in text
    assert f"lasts {200 / (amps * 1000):.2g} hours" in text


def test_current_of_a_light_satisfies_shockley() -> None:
    """The series circuit's own equation holds at the amps found: V = I (r + thread + R) + n kT/q ln(I / Is + 1)."""
    most = Facts(document({"base": "lamp"})).working.most_amps("L1")
    thermal = 1.380649e-23 * 300.15 / 1.602176634e-19
    junction = 3.696 * thermal * math.log(most.value / 4.62e-16 + 1)
    assert most.value * (15 + lamp_ohms(172, 188) + 66) + junction == pytest.approx(3.0, abs=1e-5)
    assert most.situation == "fresh"


def test_a_light_between_two_outputs_is_looked_for_beyond_the_report() -> None:
    case = {
        "base": "board",
        "parts": {"L1": None, "L2": ["light-red", 220, 100, 90]},
        "connections": {
            "minus": ["M1.minus", "B1.n1", "B1.n2"],
            "one": ["M1.a1", "L2.plus"],
            "two": ["M1.a3", "L2.minus"],
        },
        "lines": {"e": ["M1.a1", [220, 80], "L2.plus"], "f": ["M1.a3", [220, 120], "L2.minus"], "g": None, "h": None},
    }
    working = Facts(document(case)).working
    assert working.most_amps("L2").value < 1e-6
    best = working.ever_amps("L2", 0.001)
    assert best.value > 0.001
    assert best.situation == "M1.a1=high, M1.a3=low, fresh"


def test_past_64_situations_darkness_is_not_said_lightly() -> None:
    """Two switches each bridge the light: it shines only with both off, which no single change from all on shows."""
    case = {
        "base": "switched",
        "parts": {
            "S1": ["resistor-100", 120, 150],
            "S3": ["slide-switch", 180, 80],
            "S4": ["slide-switch", 180, 60],
            **{f"S{i}": ["slide-switch"] for i in range(5, 10)},
        },
        "lines": {
            "v": ["L1.plus", "S3.a"],
            "w": ["L1.minus", "S3.b"],
            "x": ["S3.a", "S4.a"],
            "y": ["S3.b", "S4.b"],
        },
    }
    facts = Facts(document(case))
    assert not facts.situations.all_of_them
    assert facts.working.most_amps("L1").value < 1e-5
    assert list(never_lit.check(facts)) == []
    assert len(facts.working.further) <= 64


def test_past_64_situations_all_switches_off_is_still_tried() -> None:
    """Two switches side by side: only with both off does nothing run, which no single change from all on shows."""
    beside = {
        "base": "switched",
        "parts": {"S2": ["slide-switch", 120, 180], **MANY},
        "connections": {"off": ["L1.minus", "S1.b", "S2.b"], "minus": ["S1.a", "S2.a", "B1.n1", "B1.n2"]},
        "lines": {"x": ["S1.a", "S2.a"], "y": ["S1.b", "S2.b"]},
    }
    assert list(no_off_switch.check(Facts(document(beside)))) == []
    (found,) = no_off_switch.check(Facts(document({"base": "lamp", "parts": MANY})))
    assert found.parts == ("B1",)


def test_a_circuit_without_a_solution_is_a_finding() -> None:
    facts = Facts(document({"base": "lamp"}))
    vars(facts)["working"] = SimpleNamespace(unsolved=("fresh",))
    (found,) = impossible_diagram.check(facts)
    assert (found.level, found.situations) == ("stop", ("fresh",))
