"""What goes into one kit, from its own circuit and layout."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol

from kits.plan.batteries import kit_supplies
from kits.plan.cuts import Cuts
from kits.plan.values import Plan
from kits.supplies.items import MILLI, Item, Offer, offer_of, thousandths
from projects.circuit.catalogue import part_types_of
from projects.circuit.part_types import Link, PartType
from projects.circuit.project import Project, Supply, Thread
from projects.circuit.sewing import Habits

__all__ = ["KitCuts", "KitItem", "KitNeeds", "Needs", "kit_items", "part_item", "shared_items"]


class Needs(Protocol):
    """What a kit's needs follow from: its project, the threads to cut for its layout, how many learners share it."""

    @property
    def project(self) -> Project: ...

    @property
    def plan(self) -> Plan | Cuts: ...

    @property
    def learners(self) -> int: ...


@dataclass(frozen=True)
class KitNeeds:
    """One kit of the class: its project, its own plan, and how many learners share it."""

    project: Project
    plan: Plan
    learners: int = 1


@dataclass(frozen=True)
class KitCuts:
    """The same with the lengths to cut alone, which are far quicker to work out than a plan."""

    project: Project
    plan: Cuts
    learners: int = 1


@dataclass(frozen=True)
class KitItem:
    """A thing that goes into a kit, in thousandths of its unit.

    `needed` makes the object; `to_pack` is put into the bag: the same, but for thread, which gets the waste on top.
    `refs`: the parts' refs. `loss`: the share lost or broken. `offer`: the pack that the project names.
    """

    item: Item
    needed: int
    to_pack: int
    offer: Offer
    refs: tuple[str, ...] = ()
    loss: float = 0.0


def kit_items(kit: Needs, habits: Habits | None = None) -> tuple[KitItem, ...]:
    """Parts in the project's order, then thread, then supplies of each kit and of each learner, batteries too."""
    return (*_parts(kit.project), *_thread(kit, habits or Habits()), *_supplies(kit))


def shared_items(project: Project) -> tuple[KitItem, ...]:
    """Supplies that the whole workshop needs once."""
    return tuple(_supply(supply, 1) for supply in project.supplies if supply.per == "workshop")


def part_item(part_type: PartType) -> Item:
    """A part type as a thing in the cupboard: the same if type and name are, whatever it costs and how it is packed."""
    return Item("part", part_type.type, part_type.name, "piece")


def _parts(project: Project) -> Iterator[KitItem]:
    types = part_types_of(project)
    refs_of: dict[str, list[str]] = {}
    for part in project.parts:
        refs_of.setdefault(part.type, []).append(part.ref)
    for refs in refs_of.values():
        part_type = types[refs[0]]
        if not _only_sewn(part_type):
            number = len(refs) * MILLI
            offer = offer_of(part_type.pack, part_type.price)
            yield KitItem(part_item(part_type), number, number, offer, tuple(refs), part_type.loss)


def _only_sewn(part_type: PartType) -> bool:
    """A crossing from piece to piece that is made of the thread itself: nothing to buy."""
    return isinstance(part_type.model, Link) and part_type.price == 0


def _thread(kit: Needs, habits: Habits) -> Iterator[KitItem]:
    length_mm = sum(run.cut_mm for run in kit.plan.runs)
    if length_mm > 0:
        needed = thousandths(length_mm / 1000)
        to_pack = thousandths(length_mm / 1000 * (1 + habits.waste_share))
        yield KitItem(_thread_item(kit.project.thread), needed, to_pack, _spool(kit.project.thread))


def _thread_item(thread: Thread) -> Item:
    return Item("thread", f"{thread.ohms_per_metre:g}", "conductive thread", "m")


def _spool(thread: Thread) -> Offer:
    return offer_of(thread.spool_metres, thread.spool_price)


def _supplies(kit: Needs) -> Iterable[KitItem]:
    for supply in kit_supplies(kit.project):
        if supply.per != "workshop":
            yield _supply(supply, kit.learners if supply.per == "learner" else 1)


def _supply(supply: Supply, times: int) -> KitItem:
    """Supplies are bought by the unit: their price is for one."""
    amount = thousandths(supply.amount * times)
    return KitItem(Item("supply", "", supply.name, supply.unit), amount, amount, offer_of(1, supply.price))
