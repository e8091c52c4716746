"""The batteries that a project's holders take, for projects that do not list them among their supplies."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

from projects.circuit.catalogue import catalogue, part_types_of
from projects.circuit.part_types import Cell, PartType
from projects.circuit.project import Project, Supply

__all__ = ["Battery", "batteries_of", "kit_supplies"]


@dataclass(frozen=True)
class Battery:
    """What goes into a holder: what it is bought as, how many it takes, a price for one.

    The prices are our own estimates, like those of the catalogue; a teacher's own packs come before them.
    """

    name: str
    number: int
    price: float


_HELD = {
    "coin-holder": Battery("coin battery, 20 mm, 3 V", 1, 0.5),
    "aaa-pack": Battery("AAA battery, 1.5 V", 2, 0.5),
}
"""By a holder of the catalogue. Any other with the same cell, such as a resized copy, takes the same."""

_COIN_MAH = 600
"""Coin and button batteries hold less than this, round ones of alkaline more (7-check-values: 145 to 225; 1,300)."""

_LISTED = re.compile(r"batter|bater|\bcells?\b|zelle|akku|\b(?:cr|lr|sr)\d", re.IGNORECASE)
_NO_BATTERY = re.compile(r"holder|tester|clip|tape", re.IGNORECASE)


def batteries_of(project: Project) -> tuple[tuple[Battery, int], ...]:
    """Each kind of battery that a kit's holders take, with how many of it, in the order of the parts."""
    held = [_held_in(kind) for kind in part_types_of(project).values() if isinstance(kind.model, Cell)]
    counts: Counter[Battery] = Counter()
    for battery in held:
        counts[battery] += battery.number
    return tuple(counts.items())


def kit_supplies(project: Project) -> tuple[Supply, ...]:
    """The project's supplies, and the batteries of its holders where it lists none itself."""
    if any(_LISTED.search(one.name) and not _NO_BATTERY.search(one.name) for one in project.supplies):
        return project.supplies
    derived = (
        Supply(name=battery.name, amount=float(number), unit="piece", per="kit", price=battery.price)
        for battery, number in batteries_of(project)
    )
    return (*project.supplies, *derived)


def _held_in(kind: PartType) -> Battery:
    assert isinstance(kind.model, Cell)
    for name, battery in _HELD.items():
        if catalogue()[name].model == kind.model:
            return battery
    volts = f"{kind.model.volts:g} V"
    if kind.model.mah < _COIN_MAH:
        return Battery(f"coin battery, {volts}", 1, 0.5)
    return Battery(f"set of batteries for: {kind.name}"[:200], 1, 1.0)
