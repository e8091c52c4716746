"""Volts expected of the working circuit: the situations of the report, and sound circuits drawn at random."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from checks.engine import check
from checks.facts import Facts
from checks.netlist import Draw, Element, Led, Netlist, Resistor, Source
from checks.operating_point import solve
from checks.setting import Setting
from kits.plan.judge import judge
from kits.plan.make import make_plan
from kits.plan.so_far import sewn_so_far
from kits.plan.values import Reading
from kits.plan.volts import MOST_MEASURED, MOST_PARTS, readings_in_volts
from kits.plan.waiting import waiting_minutes
from projects.circuit import project_file
from projects.circuit.document import Document
from projects.circuit.sewing import Habits
from tests.checks.reading_grade import reading_grade
from tests.kits.plan_documents import LANTERN, document, line, porch


def blink() -> Document:
    """A controller that drives a red light, with a switch in the negative line: everything sewn."""
    return document(
        {"B1": "coin-holder", "M1": "controller-5", "S1": "slide-switch", "L1": "light-red"},
        {"high": "B1.p1 M1.plus", "low": "M1.minus S1.b L1.minus", "cell-low": "B1.n1 S1.a", "glow": "M1.a1 L1.plus"},
        {"B1": (100, 100), "M1": (300, 100), "S1": (200, 200), "L1": (400, 120)},
        [
            line("p1", "M1.plus", "B1.p1", (300, 20), (60, 20)),
            line("n1", "B1.n1", "S1.a", (150, 94), (150, 200)),
            line("n2", "S1.b", "M1.minus", (250, 200)),
            line("n3", "L1.minus", "S1.b", (450, 120), (450, 260), (230, 260)),
            line("g1", "L1.plus", "M1.a1"),
        ],
        pins={"M1.a1": "output"},
    )


LANTERN_DOCUMENT = project_file.read(LANTERN.read_bytes())
DOCUMENTS = {"lantern": LANTERN_DOCUMENT, "blink": blink()}


def volts_of(whole: Document) -> list[Reading]:
    return readings_in_volts(Facts(whole), Habits(), "test")


@pytest.mark.parametrize("name", DOCUMENTS)
def test_expected_is_what_the_report_says_of_that_situation(name: str) -> None:
    whole = DOCUMENTS[name]
    situations = {one.name: one for one in check(whole).situations}
    found = volts_of(whole)
    assert [one.optional for one in found] == sorted(one.optional for one in found)
    assert not found[0].optional
    for reading in found:
        volts = situations[reading.state].volts
        start, end = volts[reading.start], volts[reading.end]
        assert start is not None
        assert end is not None
        assert reading.expected == pytest.approx(start - end, abs=1e-6)
        assert reading.max is not None
        assert 0 <= reading.min <= reading.expected <= reading.max


def test_the_cell_is_measured_under_load_and_each_light_where_it_shines() -> None:
    keys = [(one.key, one.state) for one in volts_of(blink())]
    assert keys == [
        ("read:volts:B1", "M1.a1=high, S1=on, fresh"),
        ("read:volts:M1", "M1.a1=high, S1=on, fresh"),
        ("read:volts:L1", "M1.a1=high, S1=on, fresh"),
    ]
    words = str(volts_of(blink())[2].text)
    assert words.startswith("Set S1 to on. Run the test of M1: turn its outputs on. Set the meter to 20 V.")


def jittered(element: Element, dice: random.Random, tolerance: float) -> Element:
    """A sound element that is not nominal, each stretch of thread by itself."""
    match element:
        case Resistor() if element.name.startswith("thread "):
            return replace(element, ohms=element.ohms * dice.uniform(1 - tolerance, 1 + tolerance) + dice.uniform(0, 4))
        case Led():
            shift = dice.uniform(-0.2, 0.2) / (element.ideality * 0.025865)
            return replace(element, saturation_amps=element.saturation_amps * math.exp(-shift))
        case Source():
            return replace(
                element, volts=element.volts * dice.uniform(0.9, 1.1), ohms=element.ohms * dice.uniform(1, 2)
            )
        case Draw():
            return replace(element, amps=element.amps * dice.uniform(0.7, 1.3))
        case _:
            return element


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_sound_circuit_is_never_refused(name: str) -> None:
    """300 circuits with thread, lights and cells of their own, each measured where the plan says."""
    whole, dice = DOCUMENTS[name], random.Random(7)
    facts = Facts(whole)
    solved = {one.setting.name: one for one in facts.situations.solved}
    for reading in volts_of(whole):
        netlist = solved[reading.state].netlist
        for _ in range(300):
            elements = tuple(jittered(one, dice, whole.project.thread.tolerance) for one in netlist.elements)
            point = solve(Netlist(elements, netlist.zero_volts))
            shown = round(point.volts[reading.start] - point.volts[reading.end], 2)
            assert judge(reading, shown).ok, (reading.key, shown, reading.min, reading.max)


@pytest.mark.parametrize(("broken", "verdict"), [("g1", "low"), ("n3", "low"), ("n1", "low")])
def test_a_broken_thread_is_seen_at_the_light(broken: str, verdict: str) -> None:
    whole = blink()
    reading = next(one for one in volts_of(whole) if one.key == "read:volts:L1")
    left = {one.name for one in whole.layout.lines} - {broken}
    facts = Facts(sewn_so_far(whole, left))
    choices = next(one.setting.choices for one in facts.situations.solved if one.setting.name == reading.state)
    (point,) = facts.situations.points([Setting(choices, "fresh")])
    assert judge(reading, point.volts[reading.start] - point.volts[reading.end]).verdict == verdict


def test_no_volts_are_expected_of_thread_that_does_not_do_what_the_circuit_says() -> None:
    assert volts_of(sewn_so_far(LANTERN_DOCUMENT, {"s1", "s2", "s3"})) == []
    assert volts_of(LANTERN_DOCUMENT) != []


def row_of_lights(count: int) -> Document:
    """So many lights side by side on two lines of thread."""
    lights = {f"L{n}": "light-red" for n in range(count)}
    plus, minus = ([f"L{n}.{end}" for n in range(count)] for end in ("plus", "minus"))
    pairs = [(ends[n], ends[n + 1]) for ends in (plus, minus) for n in range(count - 1)]
    return document(
        {"B1": "aaa-pack", **lights},
        {"plus": " ".join(["B1.p1", *plus]), "minus": " ".join(["B1.n1", *minus])},
        {"B1": (100, 100, 90), **{f"L{n}": (200 + 25 * n, 100, 90) for n in range(count)}},
        [
            line("p", "B1.p1", "L0.plus", (60, 30), (185, 30)),
            line("n", "B1.n1", "L0.minus", (60, 170), (185, 170)),
            *(line(f"s{at}", a, b) for at, (a, b) in enumerate(pairs)),
        ],
        spacing=2,
        contact=1,
    )


def test_only_the_first_parts_of_a_large_circuit_are_measured_and_none_of_a_huge_one() -> None:
    few = row_of_lights(MOST_PARTS - 1)
    assert not Facts(few).comparison.shorts
    assert len(volts_of(few)) == MOST_MEASURED
    assert volts_of(row_of_lights(MOST_PARTS)) == []


def test_the_battery_is_in_while_volts_are_read_and_ohms_come_first() -> None:
    stage = next(one for one in make_plan(LANTERN_DOCUMENT).stages if "test" in one.kinds)
    keys = [step.key for step in stage.steps]
    first, last = keys.index("test:cell-in:B1"), keys.index("test:cell-out:B1")
    volts = [at for at, key in enumerate(keys) if key.startswith("read:volts")]
    assert len(volts) == 2
    assert all(first < at < last for at in volts)
    assert keys.index("read:whole:B1") < keys.index("look:test") < first
    assert [step.minutes for step in stage.steps if step.optional] == [0.0]


def test_without_a_meter_no_reading_is_asked_for() -> None:
    plan = make_plan(LANTERN_DOCUMENT, Habits(meters=0))
    assert plan.readings == ()
    assert not [step for stage in plan.stages for step in stage.steps if step.action == "read"]


def test_few_meters_cost_minutes() -> None:
    alone, class_of_30 = make_plan(LANTERN_DOCUMENT), make_plan(LANTERN_DOCUMENT, Habits(meters=6, learners=30))
    assert make_plan(LANTERN_DOCUMENT, Habits(meters=30, learners=30)).minutes == alone.minutes
    waits = [b.minutes - a.minutes for a, b in zip(alone.stages, class_of_30.stages, strict=True)]
    reads = [any(step.action == "read" for step in stage.steps) for stage in alone.stages]
    assert [wait > 0 for wait in waits] == reads
    assert len({round(wait, 6) for wait in waits if wait > 0}) == 1
    one_meter = make_plan(LANTERN_DOCUMENT, Habits(meters=1, learners=30))
    assert one_meter.minutes > class_of_30.minutes
    for stage in one_meter.stages:
        assert stage.minutes == pytest.approx(math.fsum(step.minutes for step in stage.steps))


def simulated_wait(visit: float, between: float, meters: int, learners: int, seed: int) -> float:
    """The mean wait in a class that is played through, event by event."""
    dice = random.Random(seed)
    coming = sorted(dice.expovariate(1 / between) for _ in range(learners))
    free_at = [0.0] * meters
    waits = []
    for _ in range(40_000):
        arrives = coming.pop(0)
        meter = min(range(meters), key=free_at.__getitem__)
        begins = max(arrives, free_at[meter])
        waits.append(begins - arrives)
        free_at[meter] = begins + dice.expovariate(1 / visit)
        coming.append(free_at[meter] + dice.expovariate(1 / between))
        coming.sort()
    return sum(waits[2000:]) / len(waits[2000:])


@pytest.mark.parametrize(("visit", "between", "meters", "learners"), [(2, 12, 6, 30), (1, 30, 1, 30), (3, 5, 2, 8)])
def test_the_wait_is_that_of_a_class_played_through(visit: float, between: float, meters: int, learners: int) -> None:
    played = simulated_wait(visit, between, meters, learners, seed=3)
    assert waiting_minutes(visit, between, meters, learners) == pytest.approx(played, rel=0.08, abs=0.02)


def test_a_first_light_is_off_by_default_and_comes_after_a_look_where_it_is_set() -> None:
    usual = [stage.name for stage in make_plan(blink()).stages]
    lit = make_plan(blink(), Habits(first_light=True))
    # Here only the last thread closes the loop: the test is the first light.
    assert [stage.name for stage in lit.stages] == usual
    two = make_plan(two_lights(), Habits(first_light=True))
    assert "first light" not in [stage.name for stage in make_plan(two_lights()).stages]
    names = [stage.name for stage in two.stages]
    at = names.index("first light")
    assert names[at - 1 : at + 2] == ["glow", "first light", "blink"]
    stage = two.stages[at]
    assert (stage.kinds, stage.look) == (("light",), True)
    assert [step.key for step in stage.steps] == [
        "read:first:B1",
        "look:first light",
        "light:cell-in:B1",
        "light:L1",
        "light:cell-out:B1",
    ]


def two_lights() -> Document:
    """As `blink`, with one more light, which is sewn last."""
    value = blink()
    parts = {part.ref: part.type for part in value.project.parts} | {"L2": "light-red"}
    connections = {one.name: " ".join(one.terminals) for one in value.project.connections}
    connections["low"] += " L2.minus"
    return document(
        parts,
        connections | {"blink": "M1.a2 L2.plus"},
        {place.ref: (place.x, place.y) for place in value.layout.places} | {"L2": (400, 400)},
        [
            *(line(one.name, one.start, one.end, *one.via) for one in value.layout.lines),
            line("n4", "L2.minus", "S1.b", (450, 400), (450, 450), (215, 450)),
            line("b1", "M1.a2", "L2.plus", (340, 400)),
        ],
        pins={"M1.a1": "output", "M1.a2": "output"},
    )


@pytest.mark.parametrize("whole", [LANTERN_DOCUMENT, blink(), porch(), two_lights()])
def test_learners_can_read_the_plan(whole: Document) -> None:
    plan = make_plan(whole, Habits(first_light=True))
    texts = {str(step.text) for stage in plan.stages for step in stage.steps}
    assert {text: reading_grade(text) for text in texts if reading_grade(text) > 6} == {}
