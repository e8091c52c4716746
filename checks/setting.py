"""What can be set in a working circuit, and all the ways to set it.

Settings are switch positions × all outputs low / all high × sensor levels × cell fresh / used. Past
`MOST_SITUATIONS` they are the base, in which everything is on, and what one change makes of it, up to that many.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, product
from typing import Literal

from checks.pins import driven_pins
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import PartType, Sensor, Switch

__all__ = ["CELLS", "MOST_SITUATIONS", "CellState", "Setting", "closing_position", "settings"]

MOST_SITUATIONS = 64

CellState = Literal["fresh", "used"]
CELLS: tuple[CellState, ...] = ("fresh", "used")


@dataclass(frozen=True)
class Setting:
    """What is chosen: a position by switch, a level by sensor, `low` or `high` by driven pin; and the cell."""

    choices: Mapping[str, str]
    cell: CellState

    @cached_property
    def name(self) -> str:
        """`S1=on, M1.a2=high, R1=dark, fresh`."""
        return ", ".join([*(f"{what}={choice}" for what, choice in self.choices.items()), self.cell])


@dataclass(frozen=True)
class _Axis:
    """Things that are set together, and the choices for all of them; `on` is the choice of the base."""

    what: tuple[str, ...]
    choices: tuple[str, ...]
    on: str


def settings(laid_out: LaidOut, cells: Sequence[CellState] = CELLS) -> tuple[tuple[Setting, ...], bool]:
    """The settings to solve, and whether they are all that there are."""
    axes = list(_axes(laid_out))
    most = MOST_SITUATIONS // len(cells)
    every = math.prod(len(axis.choices) for axis in axes) <= most
    chosen = product(*(axis.choices for axis in axes)) if every else islice(_single_changes(axes), most)
    order = _order(laid_out, axes)
    named = (_named(axes, order, choice) for choice in chosen)
    return tuple(Setting(choices, cell) for choices in named for cell in cells), every


def closing_position(part_type: PartType, switch: Switch) -> str:
    """The position of a switch that joins its two sides: the last of several, the last of all if none does."""
    side = {name: group for group in part_type.groups() for name in group}
    closing = [one.name for one in switch.positions if any(side[a] != side[b] for a, b in one.joins)]
    return closing[-1] if closing else switch.positions[-1].name


def _single_changes(axes: Sequence[_Axis]) -> Iterator[tuple[str, ...]]:
    """The base, then each other choice by itself."""
    base = tuple(axis.on for axis in axes)
    yield base
    for number, axis in enumerate(axes):
        yield from ((*base[:number], choice, *base[number + 1 :]) for choice in axis.choices if choice != axis.on)


def _axes(laid_out: LaidOut) -> Iterator[_Axis]:
    """In the order of parts; all outputs of all controllers are one axis, at the first controller's place."""
    outputs = driven_pins(laid_out)
    for part in laid_out.project.parts:
        part_type = laid_out.types[part.ref]
        model = part_type.model
        if isinstance(model, Switch):
            names = tuple(position.name for position in model.positions)
            yield _Axis((part.ref,), names, closing_position(part_type, model))
        elif isinstance(model, Sensor):
            yield _Axis((part.ref,), tuple(level.name for level in model.levels), model.levels[-1].name)
        elif outputs and outputs[0].startswith(f"{part.ref}."):
            yield _Axis(outputs, ("low", "high"), "high")


def _order(laid_out: LaidOut, axes: Sequence[_Axis]) -> list[str]:
    """All that is set, in the order of parts, a controller's pins in the order of its terminals."""
    every = {what for axis in axes for what in axis.what}
    return [
        name
        for part in laid_out.project.parts
        for name in (part.ref, *(f"{part.ref}.{terminal.name}" for terminal in laid_out.types[part.ref].terminals))
        if name in every
    ]


def _named(axes: Sequence[_Axis], order: Sequence[str], choices: Sequence[str]) -> dict[str, str]:
    """What is set to which of the choices, one of each axis."""
    chosen = {what: choice for axis, choice in zip(axes, choices, strict=True) for what in axis.what}
    return {name: chosen[name] for name in order}
