"""What a workshop needs in all: what goes into its kits, what all share, and spares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kits.supplies.items import MILLI, Item, Offer
from kits.supplies.kit_items import KitItem, Needs, kit_items, shared_items
from kits.supplies.spares import spares
from projects.circuit.sewing import Habits

__all__ = ["WorkshopItem", "workshop_items"]


@dataclass(frozen=True)
class WorkshopItem:
    """What all kits of a workshop need of one thing, in thousandths of its unit.

    `in_kits` goes into the bags, `shared` lies on the table for all, `spare` beside it: for parts by the binomial
    rule, for thread its waste. `offers`: the different packs that the projects name, in order.
    """

    item: Item
    in_kits: int
    shared: int
    spare: int
    offers: tuple[Offer, ...]

    @property
    def needed(self) -> int:
        """Without spares."""
        return self.in_kits + self.shared

    @property
    def amount(self) -> int:
        """Needed and spare together."""
        return self.needed + self.spare


def workshop_items(kits: Sequence[Needs], habits: Habits | None = None) -> tuple[WorkshopItem, ...]:
    """Parts, then thread, then supplies, each in the order in which the kits first need it.

    A supply of the workshop is needed once however many kits use it; where kits differ, the most that one asks for.
    """
    habits = habits or Habits()
    packed: dict[Item, list[KitItem]] = {}
    shared: dict[Item, list[KitItem]] = {}
    for kit in kits:
        _collect(packed, kit_items(kit, habits))
        _collect(shared, shared_items(kit.project))
    items = sorted({**packed, **shared}, key=lambda item: _ORDER[item.kind])
    return tuple(_sum(item, packed.get(item, []), shared.get(item, []), habits) for item in items)


_ORDER = {"part": 0, "thread": 1, "supply": 2}


def _collect(into: dict[Item, list[KitItem]], found: Iterable[KitItem]) -> None:
    for one in found:
        into.setdefault(one.item, []).append(one)


def _sum(item: Item, packed: list[KitItem], shared: list[KitItem], habits: Habits) -> WorkshopItem:
    in_kits = sum(one.needed for one in packed)
    spare = sum(one.to_pack for one in packed) - in_kits
    if item.kind == "part":
        spare += spares(in_kits // MILLI, max(one.loss for one in packed), habits.sure_share) * MILLI
    offers = tuple(dict.fromkeys(one.offer for one in (*packed, *shared)))
    return WorkshopItem(item, in_kits, max((one.needed for one in shared), default=0), spare, offers)
