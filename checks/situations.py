"""Every state of the working circuit, solved on real thread: volts, amps, hours.

Situations are switch positions × all outputs low / all high × sensor levels × cell fresh / used. Past
`MOST_SITUATIONS` the base is varied one choice at a time, and `Situations.all_of_them` says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from checks.findings import Situation
from checks.netlist import Netlist, Source, ends
from checks.operating_point import OperatingPoint
from checks.sewn import SewnGraph
from checks.sweep import sweep
from checks.wiring import DRIVEN, CellState, Setting, Wiring
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Link, Pad, Sensor, Switch

__all__ = ["MOST_SITUATIONS", "Situations", "Solved", "settings"]

MOST_SITUATIONS = 64
LEAST_AMPS = 1e-6
"""Below this a cell lasts as long as it would on the shelf: no hours are given."""


@dataclass(frozen=True)
class Solved:
    """One situation and the operating point found for it: volts at placed terminals, amps of parts and pins."""

    setting: Setting
    point: OperatingPoint
    situation: Situation
    wiring: Wiring

    @property
    def netlist(self) -> Netlist:
        """The whole circuit in this situation."""
        return self.wiring.netlist(self.setting)


@dataclass(frozen=True)
class _Axis:
    """Things that are set together, and the choices for all of them; the first choice is rest, the last is on."""

    what: tuple[str, ...]
    choices: tuple[str, ...]


class Situations:
    """All situations of one sewn circuit, solved when first asked for."""

    def __init__(self, sewn: SewnGraph) -> None:
        self.sewn = sewn
        self.wiring = Wiring(sewn)
        self.settings, self.all_of_them = settings(sewn.laid_out)

    @cached_property
    def solved(self) -> tuple[Solved, ...]:
        """In the order of `settings`."""
        points = self.points(self.settings)
        fed = _joined_to_cell(self.wiring, self.settings).tolist()
        return tuple(
            Solved(setting, point, _situation(self.sewn.laid_out, setting, point, row), self.wiring)
            for setting, point, row in zip(self.settings, points, fed, strict=True)
        )

    def points(self, settings: Sequence[Setting]) -> list[OperatingPoint]:
        """Operating points in these settings, solved together: volts at placed terminals, amps of parts and pins."""
        variants = [self.wiring.changing(setting) for setting in settings]
        return sweep(self.wiring.fixed, variants, list(self.sewn.laid_out.spots), self.wiring.measured)


def settings(laid_out: LaidOut) -> tuple[tuple[Setting, ...], bool]:
    """The settings to solve, and whether they are all that there are."""
    axes = list(_axes(laid_out))
    cells: tuple[CellState, ...] = ("fresh", "used")
    number = 2 * math.prod(len(axis.choices) for axis in axes)
    if number <= MOST_SITUATIONS:
        chosen = product(*(axis.choices for axis in axes))
        return tuple(_setting(laid_out, axes, choice, cell) for choice in chosen for cell in cells), True
    base = tuple(axis.choices[-1] for axis in axes)
    rows = [base]
    for number, axis in enumerate(axes):
        rows += [(*base[:number], choice, *base[number + 1 :]) for choice in axis.choices[:-1]]
    return tuple(_setting(laid_out, axes, row, cell) for row in rows for cell in cells), False


def _axes(laid_out: LaidOut) -> Iterator[_Axis]:
    """In the order of parts; all outputs of all controllers are one axis, at the first controller's place."""
    outputs = _outputs(laid_out)
    for part in laid_out.project.parts:
        model = laid_out.types[part.ref].model
        if isinstance(model, Switch):
            yield _Axis((part.ref,), tuple(position.name for position in model.positions))
        elif isinstance(model, Sensor):
            yield _Axis((part.ref,), tuple(level.name for level in model.levels))
        elif outputs and outputs[0].startswith(f"{part.ref}."):
            yield _Axis(outputs, ("low", "high"))


def _outputs(laid_out: LaidOut) -> tuple[str, ...]:
    pins = laid_out.project.pins
    controllers = {part.ref for part in laid_out.project.parts if _is_controller(laid_out, part.ref)}
    return tuple(
        terminal
        for terminal in laid_out.terminals()
        if pins.get(terminal) in DRIVEN and terminal.partition(".")[0] in controllers
    )


def _is_controller(laid_out: LaidOut, ref: str) -> bool:
    return isinstance(laid_out.types[ref].model, Controller)


def _setting(laid_out: LaidOut, axes: list[_Axis], choices: tuple[str, ...], cell: CellState) -> Setting:
    """Choices in the order of parts, a controller's pins in the order of its terminals."""
    chosen = {what: choice for axis, choice in zip(axes, choices, strict=True) for what in axis.what}
    order = [
        name
        for part in laid_out.project.parts
        for name in (part.ref, *(f"{part.ref}.{terminal.name}" for terminal in laid_out.types[part.ref].terminals))
        if name in chosen
    ]
    return Setting({name: chosen[name] for name in order}, cell)


def _situation(laid_out: LaidOut, setting: Setting, point: OperatingPoint, fed: Sequence[bool]) -> Situation:
    if not point.converged:
        return Situation(setting.name, setting.cell, dict.fromkeys(laid_out.spots), {}, {}, None)
    volts = {name: point.volts[name] if tied else None for name, tied in zip(laid_out.spots, fed, strict=True)}
    amps: dict[str, float] = {}
    pin_amps: dict[str, float] = {}
    hours: float | None = None
    for part in laid_out.project.parts:
        model = laid_out.types[part.ref].model
        if isinstance(model, Switch | Link | Pad):
            continue
        amps[part.ref] = point.amps[part.ref]
        if isinstance(model, Cell):
            hours = _hours(model, point.amps[part.ref])
        elif isinstance(model, Controller):
            # Amps out of each pin that drives or pulls up; what is low takes them in: negative.
            pins = {name: flow for name, flow in point.amps.items() if name.startswith(f"{part.ref}.")}
            pin_amps.update({pin: flow for pin, flow in pins.items() if pin in setting.choices})
            # Pins that are low take their current in; it leaves through minus.
            amps[part.ref] += sum(flow for pin, flow in pins.items() if setting.choices.get(pin, "high") == "high")
    return Situation(setting.name, setting.cell, volts, amps, pin_amps, hours)


def _hours(cell: Cell, amps: float) -> float | None:
    """At most: mAh over milliamps; None below one microamp."""
    return cell.mah / (1000 * amps) if amps >= LEAST_AMPS else None


def _joined_to_cell(wiring: Wiring, settings: Sequence[Setting]) -> NDArray[np.bool_]:
    """Whether any elements, however many ohms, tie a placed terminal to the cell: a row a setting."""
    variants = [wiring.changing(setting) for setting in settings]
    spots = list(wiring.sewn.laid_out.spots)
    graph: nx.Graph[str] = nx.Graph(ends(element) for element in wiring.fixed)
    graph.add_nodes_from(node for variant in variants for element in variant for node in ends(element))
    graph.add_nodes_from(spots)
    island = {node: number for number, nodes in enumerate(nx.connected_components(graph)) for node in nodes}
    size = max(island.values(), default=0) + 1
    # The settings' graphs side by side, so that all of them are searched at once.
    pairs = [
        (at * size + island[a], at * size + island[b])
        for at, variant in enumerate(variants)
        for a, b in map(ends, variant)
    ]
    first, second = np.array(pairs, dtype=np.intp).reshape(-1, 2).T
    edges = coo_array((np.ones(len(pairs)), (first, second)), shape=(len(variants) * size,) * 2)
    label = connected_components(edges, directed=False)[1].reshape(len(variants), size)
    cells = [island[element.plus] for element in variants[0] if isinstance(element, Source)]
    at_spots = label[:, [island[spot] for spot in spots]]
    tied: NDArray[np.bool_] = (at_spots[:, :, None] == label[:, None, cells]).any(axis=2)
    return tied
