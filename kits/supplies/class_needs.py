"""What a whole class needs: parts with spares, thread in spools, supplies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from kits.plan.values import Plan
from kits.supplies.spares import spares
from projects.circuit.catalogue import part_types_of
from projects.circuit.part_types import PartType
from projects.circuit.project import Project, Supply, Thread
from projects.circuit.sewing import Habits

__all__ = ["ClassNeed", "KitNeeds", "class_needs", "spools"]


@dataclass(frozen=True)
class KitNeeds:
    """One kit of the class: its project, its own plan, and how many learners share it."""

    project: Project
    plan: Plan
    learners: int = 1


@dataclass(frozen=True)
class ClassNeed:
    """One row of what a class needs.

    `needed` goes into the kits, `spare` beside them, both in `unit` (thread: mm); `packs` of `pack` units each cover
    both and cost `price`.
    """

    name: str
    kind: Literal["part", "thread", "supply"]
    needed: float
    spare: float
    unit: str
    packs: int
    pack: float
    price: float
    part_type: str | None = None

    @property
    def amount(self) -> float:
        """Needed and spare together."""
        return self.needed + self.spare


def class_needs(kits: Sequence[KitNeeds], habits: Habits | None = None) -> tuple[ClassNeed, ...]:
    """Parts by type, then thread by spool, then supplies, each in the order in which the kits first need it.

    A supply of the workshop is needed once however many kits use it; where kits differ, the most that one asks for.
    """
    habits = habits or Habits()
    return (*_parts(kits, habits), *_thread(kits, habits), *_supplies(kits))


def spools(length_mm: float, spool_metres: float, waste: float) -> int:
    """Whole spools for `length_mm` of thread and a share of `waste` on top.

    >>> spools(18_000, 20, 0.12), spools(0, 20, 0.12)
    (2, 0)
    """
    spool_mm = max(1.0, spool_metres * 1000)  # so that the number of absurd spools stays finite
    return math.ceil(length_mm * (1 + waste) / spool_mm - 1e-9)


def _parts(kits: Iterable[KitNeeds], habits: Habits) -> Iterator[ClassNeed]:
    needed: dict[PartType, int] = {}
    for kit in kits:
        types = part_types_of(kit.project)
        for part in kit.project.parts:
            needed[types[part.ref]] = needed.get(types[part.ref], 0) + 1
    for part_type, number in needed.items():
        spare = spares(number, part_type.loss, habits.sure_share)
        packs = math.ceil((number + spare) / part_type.pack)
        yield ClassNeed(
            part_type.name,
            "part",
            number,
            spare,
            "piece",
            packs,
            part_type.pack,
            packs * part_type.price,
            part_type.type,
        )


def _thread(kits: Iterable[KitNeeds], habits: Habits) -> Iterator[ClassNeed]:
    needed: dict[tuple[float, float], float] = {}
    for kit in kits:
        spool = _spool(kit.project.thread)
        needed[spool] = needed.get(spool, 0.0) + sum(run.cut_mm for run in kit.plan.runs)
    for (metres, price), length_mm in needed.items():
        if length_mm > 0:
            number = spools(length_mm, metres, habits.waste_share)
            waste = length_mm * habits.waste_share
            name = "conductive thread"
            yield ClassNeed(name, "thread", length_mm, waste, "mm", number, metres * 1000, number * price)


def _spool(thread: Thread) -> tuple[float, float]:
    return thread.spool_metres, thread.spool_price


def _supplies(kits: Sequence[KitNeeds]) -> Iterator[ClassNeed]:
    """Supplies are bought by the unit: their price is for one."""
    needed: dict[tuple[str, str, float], float] = {}
    shared: dict[tuple[str, str, float], float] = {}
    for kit in kits:
        for supply in kit.project.supplies:
            row = (supply.name, supply.unit, supply.price)
            needed.setdefault(row, 0.0)
            if supply.per == "workshop":
                shared[row] = max(shared.get(row, 0.0), supply.amount)
            else:
                needed[row] += supply.amount * _times(supply, kit)
    for row, amount in needed.items():
        name, unit, price = row
        total = amount + shared.get(row, 0.0)
        packs = math.ceil(total - 1e-9)
        yield ClassNeed(name, "supply", total, 0.0, unit, packs, 1.0, packs * price)


def _times(supply: Supply, kit: KitNeeds) -> int:
    return kit.learners if supply.per == "learner" else 1
