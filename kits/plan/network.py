"""All that is sewn so far as a network of resistors: what a meter reads with the cell out."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import networkx as nx

from checks.netlist import Netlist, Resistor
from checks.operating_point import two_terminal_ohms
from checks.sewn import SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Controller, Load, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel
from projects.circuit.sewing import Habits

__all__ = ["Measured", "SewnSoFar"]

Corner = Literal["low", "expected", "high"]


@dataclass(frozen=True)
class Measured:
    """Ohms between two places, leads not counted.

    `high` None: nothing joins them, or only a controller does (`through_controller`), so that `low` is all one knows;
    `expected` is None then too. `low` None: nothing joins them at all.
    """

    low: float | None
    expected: float | None
    high: float | None

    @property
    def is_open(self) -> bool:
        return self.low is None

    @property
    def through_controller(self) -> bool:
        return self.low is not None and self.high is None


@dataclass(frozen=True)
class SewnSoFar:
    """The sewn graph of a whole layout, and the names of the lines that are sewn so far."""

    graph: SewnGraph
    lines: frozenset[str]
    habits: Habits

    @property
    def laid(self) -> LaidOut:
        return self.graph.laid_out

    def measured(self, a: str, b: str) -> Measured:
        """Ohms between two nodes (terminals `B1.p1`, joins `@j1`)."""
        low = self._ohms("low", a, b)
        return Measured(low, self._ohms("expected", a, b), self._ohms("high", a, b))

    def _ohms(self, corner: Corner, a: str, b: str) -> float | None:
        elements = self._around[corner].get(a, ())
        return two_terminal_ohms(Netlist(tuple(elements)), a, b) if elements else None

    @cached_property
    def _around(self) -> dict[Corner, dict[str, tuple[Resistor, ...]]]:
        """For each corner and node the elements of its component: a reading depends on nothing else."""
        corners: tuple[Corner, ...] = ("low", "expected", "high")
        return {corner: _by_node([*self._thread(corner), *self._parts(corner)]) for corner in corners}

    def _thread(self, corner: Corner) -> Iterator[Resistor]:
        """Stretches of thread, their contacts at the terminals where lines end, and where threads touch."""
        thread = self.laid.project.thread
        spread = {"low": max(0.0, 1 - thread.tolerance), "expected": 1.0, "high": 1 + thread.tolerance}[corner]
        per_mm = spread * thread.ohms_per_metre * thread.take_up / thread.strands / 1000
        for number, (a, b, edge) in enumerate(self.graph.graph.edges(data=True)):
            if edge["kind"] == "thread" and edge["line"] in self.lines:
                contacts = sum("." in end for end in (a, b)) * thread.contact_ohms
                yield Resistor(f"thread {number}", a, b, edge["length_mm"] * per_mm + contacts)
            elif edge["kind"] == "contact" and self.lines.issuperset(edge["contact"].lines):
                yield Resistor(f"contact {number}", a, b, thread.crossing_ohms)
            elif edge["kind"] == "joined":
                yield Resistor(f"inside {number}", a, b, 0.0)

    def _parts(self, corner: Corner) -> Iterator[Resistor]:
        for part in self.laid.project.parts:
            groups = self.laid.types[part.ref].groups()
            yield from self._model(part.ref, [f"{part.ref}.{group[0]}" for group in groups], corner)

    def _model(self, ref: str, nodes: list[str], corner: Corner) -> Iterator[Resistor]:
        """What a part shows a meter: lights and a cell that is out show nothing."""
        model = self.laid.types[ref].model
        if isinstance(model, ResistorModel | Load):
            yield Resistor(f"part {ref}", nodes[0], nodes[1], model.ohms)
        elif isinstance(model, Sensor):
            levels = [level.ohms for level in model.levels]
            ohms = {"low": min(levels), "expected": levels[0], "high": max(levels)}[corner]
            yield Resistor(f"part {ref}", nodes[0], nodes[1], ohms)
        elif isinstance(model, Switch):
            for at, (a, b) in enumerate(model.positions[0].joins):
                yield Resistor(f"part {ref} {at}", f"{ref}.{a}", f"{ref}.{b}", 0.0)
        elif isinstance(model, Controller) and corner == "low":
            # A star: any two terminals show at least `controller_ohms`, however the others are joined outside.
            for node in nodes:
                yield Resistor(f"part {node}", f"inside {ref}", node, self.habits.controller_ohms / 2)


def _by_node(elements: Collection[Resistor]) -> dict[str, tuple[Resistor, ...]]:
    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from((element.a, element.b) for element in elements)
    component = {node: at for at, nodes in enumerate(nx.connected_components(graph)) for node in nodes}
    members: dict[int, list[Resistor]] = {}
    for element in elements:
        members.setdefault(component[element.a], []).append(element)
    return {node: tuple(members[at]) for node, at in component.items()}
