"""Every state of the working circuit, solved on real thread: volts, amps, hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from checks.findings import Situation
from checks.netlist import Netlist, Source, ends
from checks.operating_point import OperatingPoint
from checks.setting import Setting, settings
from checks.sewn import SewnGraph
from checks.sweep import sweep
from checks.wiring import Wiring
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Link, Pad, Switch

__all__ = ["LEAST_AMPS", "Situations", "Solved"]

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


class Situations:
    """The situations of one sewn circuit, solved when first asked for: all of them, or those that `settings` gives."""

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
