"""200 whole sewn circuits against ngspice: from the layout's lines to the volts at every node, within a microvolt.

Source: ngspice, a general-purpose circuit simulator; `ngspice.py` says what makes the two comparable. The circuits are
generated layouts, sound ones and ones with a fault (opens, shorts, lights and holders half round), each in one of its
situations: lights, switches, controllers, sensors, buttons, seam crossings.
"""

from __future__ import annotations

import random
from collections import Counter
from functools import cache

import pytest

from checks.netlist import GROUND_SIEMENS, Netlist, Source, ends
from checks.operating_point import ROOM_KELVIN, OperatingPoint, residuals, solve
from checks.setting import settings
from checks.sewn import sew
from checks.wiring import Wiring
from projects.circuit.fabric import lay_out
from projects.circuit.part_types import Controller, Led, Sensor, Switch
from tests.generated.faults import FAULTS
from tests.generated.schemes import SCHEMES, sound
from tests.published.ngspice import operating_points, same_kelvin

MICROVOLT = 1e-6
NUMBER = 200
BATCH = 50
KINDS = ("sound", "short", "open", "reversed", "short")


@cache
def circuit(seed: int) -> Netlist:
    """The netlist of a generated layout in a situation of its own, both from the seed."""
    rng = random.Random(f"situation {seed}")
    draft, kind = sound(20_000 + seed), KINDS[seed // len(SCHEMES) % len(KINDS)]
    if kind != "sound":
        draft = rng.choice(FAULTS[kind])(draft, rng).draft
    laid_out = lay_out(draft.document())
    return Wiring(sew(laid_out)).netlist(rng.choice(settings(laid_out)[0]))


@cache
def point(seed: int) -> OperatingPoint:
    """Our answer, at the temperature at which our kT/q is ngspice's."""
    return solve(circuit(seed), kelvin=same_kelvin(ROOM_KELVIN))


@pytest.mark.parametrize("first", range(0, NUMBER, BATCH))
def test_every_node_is_within_a_microvolt_of_ngspice(first: int) -> None:
    seeds = range(first, first + BATCH)
    far = []
    for seed, theirs in zip(seeds, operating_points([circuit(seed) for seed in seeds], ROOM_KELVIN), strict=True):
        assert point(seed).converged, seed
        assert point(seed).volts.keys() == theirs.keys()
        off = max(abs(point(seed).volts[node] - volts) for node, volts in theirs.items())
        if not off <= MICROVOLT:
            far.append((seed, off))
    assert far == []


@pytest.mark.parametrize("first", range(0, NUMBER, BATCH))
def test_currents_at_every_node_sum_to_zero(first: int) -> None:
    """Kirchhoff's current law, within 1e-9 A + 1e-6 of the node's largest; merged nodes share their rounding."""
    for seed in range(first, first + BATCH):
        merged = circuit(seed).merged
        left = residuals(circuit(seed), point(seed))
        largest: dict[str, float] = {}
        for node, one in left.items():
            largest[merged[node]] = max(largest.get(merged[node], 0.0), one.largest)
        wrong = {node: one for node, one in left.items() if not abs(one.amps) <= 1e-9 + 1e-6 * largest[merged[node]]}
        assert wrong == {}, seed


@pytest.mark.parametrize("first", range(0, NUMBER, BATCH))
def test_the_power_out_of_the_cell_is_the_power_in_all_else(first: int) -> None:
    """What the cell gives at its terminals against thread, contacts, parts and the gigohms to ground."""
    for seed in range(first, first + BATCH):
        netlist, found = circuit(seed), point(seed)
        given = taken = 0.0
        for element in netlist.elements:
            a, b = ends(element)
            watts = found.amps[element.name] * (found.volts[a] - found.volts[b])
            if isinstance(element, Source):
                given += watts
            else:
                taken += watts
        taken += sum(GROUND_SIEMENS * found.volts[node] ** 2 for node in dict.fromkeys(netlist.merged.values()))
        assert given == pytest.approx(taken, rel=1e-7, abs=1e-15), seed


def test_the_circuits_have_in_them_what_classes_sew() -> None:
    """Or else the comparison proves little: each kind of part in many circuits, shorted cells, currents that flow."""
    found: Counter[str] = Counter()
    for seed in range(NUMBER):
        draft = sound(20_000 + seed)
        types = lay_out(draft.document()).types.values()
        found.update({type(one.model).__name__ for one in types})
        cell = next(one for one in circuit(seed).elements if isinstance(one, Source))
        found["short"] += point(seed).amps[cell.name] > 0.5 * cell.volts / (cell.ohms + 5.0)
        found["at work"] += point(seed).amps[cell.name] > 0.0005
    assert min(found[model.__name__] for model in (Led, Switch, Controller, Sensor)) >= 20
    assert found["short"] >= 10
    assert found["at work"] >= 120
