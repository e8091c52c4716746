"""What a whole class needs, row by row, as a materials list shows it: with the packs that the project names."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kits.supplies.items import MILLI, MONEY, ItemKind, Offer
from kits.supplies.kit_items import KitNeeds, Needs
from kits.supplies.workshop_items import WorkshopItem, workshop_items
from projects.circuit.sewing import Habits

__all__ = ["ClassNeed", "KitNeeds", "class_needs"]


@dataclass(frozen=True)
class ClassNeed:
    """One row of what a class needs.

    `needed` goes into the kits, `spare` beside them, both in `unit` (thread: mm); `packs` of `pack` units each cover
    both and cost `price`.
    """

    name: str
    kind: ItemKind
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


def class_needs(kits: Sequence[Needs], habits: Habits | None = None) -> tuple[ClassNeed, ...]:
    """Parts by type, then thread by spool, then supplies, each in the order in which the kits first need it."""
    return tuple(_row(need) for need in workshop_items(kits, habits))


def _row(need: WorkshopItem) -> ClassNeed:
    """Of several packs, the one that is cheapest by itself."""
    thread = need.item.kind == "thread"
    unit = 1 if thread else MILLI  # thread is counted in mm, which are thousandths of its metres

    def packs(offer: Offer) -> int:
        return math.ceil(need.amount / offer.size)

    offer = min(need.offers, key=lambda offer: packs(offer) * offer.cost)
    return ClassNeed(
        name=need.item.name,
        kind=need.item.kind,
        needed=need.needed / unit,
        spare=need.spare / unit,
        unit="mm" if thread else need.item.unit,
        packs=packs(offer),
        pack=offer.size / unit,
        price=packs(offer) * offer.cost / MONEY,
        part_type=need.item.code or None if need.item.kind == "part" else None,
    )
