"""Circuits that nobody would sew: each ends with an answer or says that it has none, in bounded steps, without a NaN.

Netlists of seeds 0 to 299 are solved in `test_operating_point.py`; these are the seeds up to 1,000, rings of lights,
and whole layouts whose thread and parts have values at the limits of the project file.
"""

from __future__ import annotations

import math
import random

import pytest

from checks.netlist import Element, Led, Netlist, Resistor, Source
from checks.operating_point import solve
from checks.sewn import sew
from checks.situations import Situations
from projects.circuit.catalogue import catalogue
from projects.circuit.fabric import lay_out
from projects.circuit.part_types import Cell
from projects.circuit.part_types import Led as LedModel
from tests.checks.random_netlists import LIGHTS, hostile
from tests.checks.test_operating_point import MOST_AMPS, assert_balanced, assert_sound
from tests.generated.faults import FAULTS
from tests.generated.schemes import sound

BLOCK = 100


@pytest.mark.parametrize("first", range(300, 1000, BLOCK))
def test_a_hostile_netlist_has_an_answer_within_bounded_steps(first: int) -> None:
    for seed in range(first, first + BLOCK):
        netlist = hostile(seed)
        point = solve(netlist)
        assert_sound(netlist, point)
        if all(one.ohms > 0.0 for one in netlist.elements if isinstance(one, Source)):
            assert point.converged, seed  # every law rises with its volts, so one solution exists
        if point.converged and max(map(abs, point.amps.values())) < MOST_AMPS:
            assert_balanced(netlist, point)


@pytest.mark.parametrize("seed", range(40))
def test_rings_of_lights(seed: int) -> None:
    """Lights in a ring, bare or not, perhaps fed, perhaps an island, perhaps all one way round."""
    rng = random.Random(seed)
    size = rng.randint(1, 9)
    elements: list[Element] = []
    for at in range(size):
        nodes = [f"x{at}", f"x{(at + 1) % size}"]
        if rng.random() < 0.3:
            nodes.reverse()
        saturation, ideality, ohms = rng.choice(LIGHTS)
        elements.append(Led(f"L{at}", *nodes, saturation, ideality, rng.choice((0.0, ohms))))
    if rng.random() < 0.7:
        elements.append(Source("B1", "x0", rng.choice((f"x{size // 2}", "n")), 3.0, rng.choice((1e-9, 0.3, 15.0))))
    if rng.random() < 0.5:
        elements.append(Resistor("R1", "n", f"x{size - 1}", 10.0 ** rng.uniform(-9, 9)))
    netlist = Netlist(tuple(elements))
    point = solve(netlist)
    assert_sound(netlist, point)
    assert point.converged
    assert_balanced(netlist, point)


@pytest.mark.parametrize("seed", range(120))
def test_a_hostile_layout_has_situations_without_a_nan(seed: int) -> None:
    """Values from 1e-9 to 1e9 in thread, cell and lights of a layout with a fault."""
    rng = random.Random(f"hostile layout {seed}")

    def extreme() -> float:
        return 10.0 ** rng.uniform(-9.0, 9.0)

    draft = sound(30_000 + seed)
    draft = rng.choice(FAULTS[rng.choice(list(FAULTS))])(draft, rng).draft
    draft.project["thread"] = {
        "ohms_per_metre": extreme(),
        "contact_ohms": rng.choice((0.0, extreme())),
        "crossing_ohms": rng.choice((0.0, extreme())),
    }
    own = []
    for kind in dict.fromkeys(draft.types.values()):
        part_type = catalogue()[kind]
        model = part_type.model.model_dump(exclude_none=True)
        if isinstance(part_type.model, Cell):
            model["ohms"] = extreme()
            model["used"] = {"volts": extreme(), "ohms": extreme()}
        elif isinstance(part_type.model, LedModel):
            model["ohms"] = extreme()
            model["saturation_amps"] = 10.0 ** rng.uniform(-30, -3)
        own.append({**part_type.model_dump(mode="json", exclude_none=True), "model": model})
    draft.project["part_types"] = own
    for solved in Situations(sew(lay_out(draft.document()))).solved:
        one = solved.situation
        volts = [number for number in one.volts.values() if number is not None]
        assert all(math.isfinite(number) for number in (*volts, *one.amps.values(), *one.pin_amps.values()))
        assert one.hours is None or (math.isfinite(one.hours) and one.hours > 0)
        assert solved.point.converged or (not volts and not one.amps and one.hours is None)
