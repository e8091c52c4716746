"""Volts that a meter should show once the cell is in: at the cell under load, and at each part that is on."""

from __future__ import annotations

import math
from collections import ChainMap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, product

from checks.direction import part_nodes
from checks.facts import Facts
from checks.operating_point import OperatingPoint
from checks.setting import Setting
from checks.situations import Situations, Solved
from kits.plan.meter import meter_range
from kits.plan.spread import corners, varied
from kits.plan.values import Reading
from kits.plan.words import how_to_set, place_words
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Led, Load, Sensor
from projects.circuit.sewing import Habits
from projects.circuit.text import msg

__all__ = ["readings_in_volts"]

MOST_SETTINGS = 64
MOST_PARTS = 40
"""A circuit with more parts that draw current is not measured in volts: to solve it at every corner would take long."""
MOST_MEASURED = 12
"""Parts measured in one kit, the first of the project."""
MEASURED = (Cell, Led, Load, Controller)
LEAST_VOLTS = 0.2
"""Less than this across a part is not worth a reading."""
STEP_VOLTS = 0.05
"""Bounds are rounded outward to this: no finer figure means anything on thread."""


@dataclass(frozen=True)
class _Target:
    """A part to measure, the situation to measure it in, and all settings that look the same to a learner."""

    ref: str
    solved: Solved
    settings: tuple[Setting, ...]


def readings_in_volts(facts: Facts, habits: Habits, stage: str) -> list[Reading]:
    """The cell and the controller where the cell gives most, each light and load where it gets most; the cell new.

    None where the thread does not do what the circuit says, for then no figure would be that of sound work.
    `expected` is for the situation named, `min` and `max` over everything that a learner cannot set or see: the
    spread of thread, anchors and parts, a cell from new to used, levels of sensors, which other outputs are on.
    """
    laid = facts.laid_out
    refs = [ref for ref, one in laid.types.items() if isinstance(one.model, MEASURED)]
    if len(refs) > MOST_PARTS or facts.comparison.opens or facts.comparison.shorts or facts.dead_short is not None:
        return []
    alike: dict[str, list[tuple[Setting, OperatingPoint]]] = {}
    found_on = (target for ref in refs if (target := _target(facts, ref, alike)) is not None)
    targets = list(islice(found_on, MOST_MEASURED))
    settings = {setting.name: setting for target in targets for setting in target.settings}
    ranges = _Ranges(facts, habits, list(settings.values()))
    found = (_reading(facts, target, ranges, stage) for target in targets)
    return sorted((one for one in found if one is not None), key=lambda one: one.optional)


class _Ranges:
    """Operating points of all settings at all corners, by name of the setting as it is with a new cell."""

    def __init__(self, facts: Facts, habits: Habits, settings: Sequence[Setting]) -> None:
        self.points: dict[str, list[OperatingPoint]] = {setting.name: [] for setting in settings}
        if not settings:
            return
        names = [setting.name for setting in settings]
        for corner in corners():
            circuit = Situations(varied(facts.sewn, corner, habits))
            with_cell = [Setting(setting.choices, corner.state) for setting in settings]
            for name, point in zip(names, circuit.points(with_cell), strict=True):
                self.points[name].append(point)

    def across(self, target: _Target, laid: LaidOut) -> tuple[float, float] | None:
        """The least and the most volts across a part; None where some corner has no solution."""
        points = [target.solved.point, *(point for one in target.settings for point in self.points[one.name])]
        if not all(point.converged for point in points):
            return None
        volts = [_across(laid, point, target.ref) for point in points]
        return min(volts), max(volts)


def _across(laid: LaidOut, point: OperatingPoint, ref: str) -> float:
    plus, minus = part_nodes(laid, ref)
    return point.volts[plus] - point.volts[minus]


def _target(facts: Facts, ref: str, alike: dict[str, list[tuple[Setting, OperatingPoint]]]) -> _Target | None:
    """Where to measure a part; None for one that is never on. `alike` keeps what is solved from part to part."""
    laid = facts.laid_out
    if not all(node in laid.spots for node in part_nodes(laid, ref)):
        return None
    fresh = [one for one in facts.situations.solved if one.setting.cell == "fresh" and one.point.converged]
    on = [one for one in fresh if _is_on(laid, one.point, ref) and _across(laid, one.point, ref) >= LEAST_VOLTS]
    # The last of equals, for there everything is on.
    best = max(reversed(on), key=lambda one: round(_strength(laid, one.point, ref), 9), default=None)
    if best is None:
        return None
    if best.setting.name not in alike:
        settings = list(islice(_alike(laid, best.setting), MOST_SETTINGS))
        alike[best.setting.name] = list(zip(settings, facts.situations.points(settings), strict=True))
    also_on = [setting for setting, point in alike[best.setting.name] if _is_on(laid, point, ref)]
    return _Target(ref, best, tuple({one.name: one for one in (best.setting, *also_on)}.values()))


def _strength(laid: LaidOut, point: OperatingPoint, ref: str) -> float:
    """Amps: a light's or load's own; of a controller, as of a cell, all that the cell gives."""
    if isinstance(laid.types[ref].model, Controller):
        return math.fsum(point.amps[one] for one, of in laid.types.items() if isinstance(of.model, Cell))
    return point.amps[ref]


def _is_on(laid: LaidOut, point: OperatingPoint, ref: str) -> bool:
    """Whether the part does something there; a cell always does."""
    model = laid.types[ref].model
    if isinstance(model, Led):
        return point.amps[ref] >= laid.project.settings.dark_amps
    if isinstance(model, Load | Controller):
        return _across(laid, point, ref) >= model.min_volts / 2
    return True


def _alike(laid: LaidOut, setting: Setting) -> Iterator[Setting]:
    """Settings with the same switches: each level of each sensor, outputs as they are, all high, low, one high."""
    sensors = {ref: laid.types[ref].model for ref in setting.choices if "." not in ref}
    levels = [
        [{ref: level.name} for level in model.levels] for ref, model in sensors.items() if isinstance(model, Sensor)
    ]
    outputs = [what for what in setting.choices if "." in what]
    driven: list[dict[str, str]] = [{}]
    if outputs:
        low = dict.fromkeys(outputs, "low")
        driven += [dict.fromkeys(outputs, "high"), low, *({**low, one: "high"} for one in outputs)]
    for chosen in product(driven, *levels):
        yield Setting(dict(ChainMap(*reversed(chosen), dict(setting.choices))), "fresh")


def _reading(facts: Facts, target: _Target, ranges: _Ranges, stage: str) -> Reading | None:
    laid, ref = facts.laid_out, target.ref
    found = ranges.across(target, laid)
    if found is None:
        return None
    low = max(0.0, round(math.floor(found[0] / STEP_VOLTS) * STEP_VOLTS, 2))
    high = round(math.ceil(found[1] / STEP_VOLTS) * STEP_VOLTS, 2)
    start, end = part_nodes(laid, ref)
    text = msg(
        "{how}Set the meter to {range} V. Touch {start} with the red tip, {end} with the black tip. "
        "It should show {low} to {high} V.",
        how=how_to_set(laid, target.solved.setting.choices),
        range=meter_range("volts", high)[1],
        start=place_words(laid, start),
        end=place_words(laid, end),
        low=f"{low:.2f}",
        high=f"{high:.2f}",
    )
    return Reading(
        start=start,
        end=end,
        kind="volts",
        state=target.solved.setting.name,
        expected=_across(laid, target.solved.point, ref),
        min=low,
        max=high,
        stage=stage,
        text=text,
        key=f"read:volts:{ref}",
        optional=not isinstance(laid.types[ref].model, Cell),
    )
