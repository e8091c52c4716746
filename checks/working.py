"""The working circuit as rules look at it: the most that each part ever gets, and in which situation."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import TypeVar

import networkx as nx

from checks.direction import part_nodes
from checks.netlist import Resistor
from checks.operating_point import OperatingPoint
from checks.setting import CellState, Setting
from checks.situations import Situations, Solved
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Model

__all__ = ["Most", "Working"]

MOST_FURTHER = 64

M = TypeVar("M", bound=Model)


@dataclass(frozen=True)
class Most:
    """The greatest value of something (amps, volts) over situations, and the situation that has it."""

    value: float
    situation: str


class Working:
    """What the rules of the working circuit ask of its situations."""

    def __init__(self, situations: Situations, idle: frozenset[str] = frozenset()) -> None:
        """`idle`: parts that have nothing to do by the circuit itself, so that nothing more need be said of them."""
        self.situations = situations
        self.idle = idle

    @property
    def laid_out(self) -> LaidOut:
        return self.situations.sewn.laid_out

    @cached_property
    def solved(self) -> tuple[Solved, ...]:
        """The situations that have a solution."""
        return tuple(solved for solved in self.situations.solved if solved.point.converged)

    @cached_property
    def unsolved(self) -> tuple[str, ...]:
        """Names of the situations that have none."""
        return tuple(solved.setting.name for solved in self.situations.solved if not solved.point.converged)

    def with_cell(self, state: CellState) -> tuple[Solved, ...]:
        """The situations with the cell fresh, or used."""
        return tuple(solved for solved in self.solved if solved.setting.cell == state)

    def parts(self, kind: type[M]) -> Iterator[tuple[str, M]]:
        """Refs and models of the parts of one kind, in the order of `parts`; none where no cell can feed them."""
        for part in self.laid_out.project.parts:
            model = self.laid_out.types[part.ref].model
            if isinstance(model, kind) and part.ref not in self.idle and self._has_cell:
                yield part.ref, model

    @cached_property
    def _has_cell(self) -> bool:
        cells = [one.ref for one in self.laid_out.project.parts if isinstance(self.laid_out.types[one.ref].model, Cell)]
        return bool(cells) and self.idle.isdisjoint(cells)

    def across(self, point: OperatingPoint, ref: str) -> float:
        """Volts from the positive (else first) side of a part to the other."""
        plus, minus = part_nodes(self.laid_out, ref)
        return point.volts[plus] - point.volts[minus]

    def most_amps(self, ref: str, cell: CellState = "fresh") -> Most:
        """The most that ever runs forward through a light (or any part) in the report's situations."""
        return self._most(cell, lambda point: point.amps[ref])

    def most_volts(self, ref: str, cell: CellState = "fresh") -> Most:
        """The most volts that a part ever has across it, whichever way."""
        return self._most(cell, lambda point: abs(self.across(point, ref)))

    def most_volts_supplied(self, ref: str, cell: CellState = "fresh") -> Most:
        """The most volts that a controller ever has from plus to minus."""
        return self._most(cell, lambda point: self.across(point, ref))

    def _most(self, cell: CellState, value: Callable[[OperatingPoint], float]) -> Most:
        found = ((value(solved.point), solved.setting.name) for solved in self.with_cell(cell))
        return Most(*max(found, key=lambda one: one[0], default=(0.0, "")))

    def ever_amps(self, ref: str, enough: float) -> Most:
        """As `most_amps`, but looked for beyond the report's situations too before less than `enough` is said."""
        return self._ever(self.most_amps(ref), enough, lambda point: point.amps[ref])

    def ever_volts(self, ref: str, enough: float) -> Most:
        """As `most_volts`, but looked for beyond the report's situations too before less than `enough` is said."""
        return self._ever(self.most_volts(ref), enough, lambda point: abs(self.across(point, ref)))

    def _ever(self, most: Most, enough: float, value: Callable[[OperatingPoint], float]) -> Most:
        if most.value >= enough:
            return most
        return max([most, *(Most(value(point), setting.name) for setting, point in self.further)], key=_value_of)

    @cached_property
    def further(self) -> Sequence[tuple[Setting, OperatingPoint]]:
        """Fresh situations beyond those of the report: each output by itself, and more where the report was cut.

        A light between two outputs is lit only if one is high and the other low. All of them up to 64, else 64
        drawn with a fixed seed.
        """
        choices = self._choices()
        outputs = [what for what in choices if "." in what]
        if len(outputs) < 2 and self.situations.all_of_them:
            return ()
        known = {setting.name for setting in self.situations.settings}
        every = (Setting(dict(zip(choices, chosen, strict=True)), "fresh") for chosen in _some(choices.values()))
        new = list({setting.name: setting for setting in every if setting.name not in known}.values())
        points = self.situations.points(new)
        return tuple((setting, point) for setting, point in zip(new, points, strict=True) if point.converged)

    def _choices(self) -> dict[str, tuple[str, ...]]:
        """What can be set, and to what, in the order of the situations."""
        found: dict[str, dict[str, None]] = {}
        for setting in self.situations.settings:
            for what, choice in setting.choices.items():
                found.setdefault(what, {})[choice] = None
        return {what: tuple(choices) for what, choices in found.items()}

    def powered(self, solved: Solved, ref: str) -> bool:
        """Whether thread, closed switches and links alone lead from the cell's two sides to a part's two."""
        # Elements that stand for no part or pin have a number after their name: thread, joins, switch contacts.
        wires = ((one.a, one.b) for one in solved.netlist.elements if isinstance(one, Resistor) and " " in one.name)
        graph: nx.Graph[str] = nx.Graph(wires)
        cells = [part_nodes(self.laid_out, cell) for cell, _ in self.parts(Cell)]
        own = part_nodes(self.laid_out, ref)
        return any(
            all(a in graph and b in graph and nx.has_path(graph, a, b) for a, b in zip(cell, own, strict=True))
            for cell in cells
        )


def _value_of(most: Most) -> float:
    return most.value


def _some(choices: Iterable[tuple[str, ...]]) -> Iterable[tuple[str, ...]]:
    """Every way to choose one of each, or 64 of the ways."""
    every = list(choices)
    if math.prod(len(one) for one in every) <= MOST_FURTHER:
        return product(*every)
    draw = random.Random(0)
    return [tuple(draw.choice(one) for one in every) for _ in range(MOST_FURTHER)]
