"""Every state of the working circuit, solved on real thread: volts, amps, hours.

Situations are switch positions × all outputs low / all high × sensor levels × cell fresh / used. Past
`MOST_SITUATIONS` the base is varied one choice at a time, and `Situations.all_of_them` says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import networkx as nx

from checks.direction import part_nodes
from checks.findings import Situation
from checks.netlist import Netlist, ends
from checks.operating_point import OperatingPoint, solve
from checks.sewn import SewnGraph
from checks.wiring import DRIVEN, CellState, Setting, Wiring
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Link, Pad, Sensor, Switch

__all__ = ["MOST_SITUATIONS", "Situations", "Solved", "settings"]

MOST_SITUATIONS = 64
LEAST_AMPS = 1e-6
"""Below this a cell lasts as long as it would on the shelf: no hours are given."""


@dataclass(frozen=True)
class Solved:
    """One situation and the operating point found for it."""

    setting: Setting
    netlist: Netlist
    point: OperatingPoint
    situation: Situation


@dataclass(frozen=True)
class _Axis:
    """Things that are set together, and the choices for all of them; the first choice is rest, the last is on."""

    what: tuple[str, ...]
    choices: tuple[str, ...]


class Situations:
    """All situations of one sewn circuit, solved when first asked for."""

    def __init__(self, sewn: SewnGraph) -> None:
        self.sewn = sewn
        self.settings, self.all_of_them = settings(sewn.laid_out)

    @cached_property
    def solved(self) -> tuple[Solved, ...]:
        """In the order of `settings`."""
        wiring = Wiring(self.sewn)
        return tuple(_solve(wiring, setting) for setting in self.settings)


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


def _solve(wiring: Wiring, setting: Setting) -> Solved:
    netlist = wiring.netlist(setting)
    point = solve(netlist)
    return Solved(setting, netlist, point, _situation(wiring, setting, netlist, point))


def _situation(wiring: Wiring, setting: Setting, netlist: Netlist, point: OperatingPoint) -> Situation:
    laid_out = wiring.sewn.laid_out
    with_cell = _joined_to_cell(laid_out, netlist) if point.converged else frozenset()
    volts = {name: point.volts[name] if name in with_cell else None for name in laid_out.spots}
    amps: dict[str, float] = {}
    pin_amps: dict[str, float] = {}
    for part in laid_out.project.parts if point.converged else ():
        part_type = laid_out.types[part.ref]
        if isinstance(part_type.model, Switch | Link | Pad):
            continue
        amps[part.ref] = point.amps[part.ref]
        if isinstance(part_type.model, Controller):
            pins = _pin_amps(part.ref, point)
            pin_amps.update({pin: flow for pin, flow in pins.items() if pin in setting.choices})
            # Pins that are low take their current in; it leaves through minus.
            amps[part.ref] += sum(flow for pin, flow in pins.items() if setting.choices.get(pin, "high") == "high")
    return Situation(setting.name, setting.cell, volts, amps, pin_amps, _hours(laid_out, point))


def _pin_amps(ref: str, point: OperatingPoint) -> Mapping[str, float]:
    """Amps out of each pin that drives or pulls up (an output that is low takes them in: negative)."""
    return {name: flow for name, flow in point.amps.items() if name.startswith(f"{ref}.")}


def _joined_to_cell(laid_out: LaidOut, netlist: Netlist) -> frozenset[str]:
    """Nodes that any element, however many ohms, ties to the cell."""
    graph: nx.Graph[str] = nx.Graph(ends(element) for element in netlist.elements)
    found: set[str] = set()
    for part in laid_out.project.parts:
        part_type = laid_out.types[part.ref]
        if isinstance(part_type.model, Cell):
            found |= nx.node_connected_component(graph, part_nodes(laid_out, part.ref)[0])
    return frozenset(found)


def _hours(laid_out: LaidOut, point: OperatingPoint) -> float | None:
    """At most: mAh over milliamps; None below one microamp, or without a cell."""
    for part in laid_out.project.parts:
        model = laid_out.types[part.ref].model
        if isinstance(model, Cell) and point.converged and point.amps[part.ref] >= LEAST_AMPS:
            return model.mah / (1000 * point.amps[part.ref])
    return None
