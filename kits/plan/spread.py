"""A sewn circuit as it may also be: thread, lights, cells and loads that are sound and yet not nominal."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from checks.operating_point import ROOM_KELVIN
from checks.setting import CellState
from checks.sewn import SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Led, Load, PartType
from projects.circuit.project import Thread
from projects.circuit.sewing import Habits

__all__ = ["Corner", "corners", "varied"]

VOLTS_PER_KELVIN = 1.380649e-23 / 1.602176634e-19
"""k over q, both exact (SI 2019)."""


@dataclass(frozen=True)
class Corner:
    """One extreme: −1 the least, +1 the most ohms of thread and anchors, volts of lights, strength of the cell."""

    thread: int
    lights: int
    cell: int

    @property
    def state(self) -> CellState:
        """A weak cell is a used one."""
        return "fresh" if self.cell > 0 else "used"


def corners() -> Iterator[Corner]:
    """All eight extremes."""
    return (Corner(*signs) for signs in product((-1, 1), repeat=3))


def varied(sewn: SewnGraph, corner: Corner, habits: Habits) -> SewnGraph:
    """The same sewing with thread and parts at that extreme; what joins what stays as it is."""
    laid = sewn.laid_out
    thread = _thread(laid.project.thread, corner.thread, habits)
    project = laid.project.model_copy(update={"thread": thread})
    document = laid.document.model_copy(update={"project": project})
    types = {ref: _part_type(one, corner, habits) for ref, one in laid.types.items()}
    return replace(sewn, laid_out=_with(laid, document=document, types=types))


def _with(laid: LaidOut, **changes: object) -> LaidOut:
    return replace(laid, **changes)  # type: ignore[arg-type]


def _thread(thread: Thread, sign: int, habits: Habits) -> Thread:
    anchor = max(thread.contact_ohms, habits.anchor_most_ohms) if sign > 0 else 0.0
    ohms = thread.ohms_per_metre * max(0.0, 1 + sign * thread.tolerance)
    return thread.model_copy(update={"ohms_per_metre": ohms, "contact_ohms": anchor})


def _part_type(part_type: PartType, corner: Corner, habits: Habits) -> PartType:
    model, changes = part_type.model, dict[str, float]()
    more_amps = max(0.0, 1 - corner.cell * habits.supply_amps_spread)
    if isinstance(model, Led):
        shift = corner.lights * habits.light_volts_spread / (model.ideality * VOLTS_PER_KELVIN * ROOM_KELVIN)
        # Very steep lights of hostile files must not overflow.
        shift = min(max(shift, -100.0), 100.0)
        changes["saturation_amps"] = max(model.saturation_amps * math.exp(-shift), 1e-300)
    elif isinstance(model, Cell) and corner.cell > 0:
        changes.update(volts=model.volts * (1 + habits.cell_volts_spread), ohms=model.ohms / 2)
    elif isinstance(model, Controller):
        changes["amps"] = model.amps * more_amps
    elif isinstance(model, Load) and more_amps > 0:
        changes["ohms"] = model.ohms / more_amps
    return part_type.model_copy(update={"model": model.model_copy(update=changes)}) if changes else part_type
