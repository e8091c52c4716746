"""The packing page's view of a workshop: each kit with its materials, ticked where they are in its bag."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from kits.models import Event, Kit, Workshop
from kits.services.stock_ledger import Gone
from kits.services.workshop_stock import (
    Cupboard,
    Need,
    WorkshopNeeds,
    left_to_pack,
    needs_of,
    read_cupboard,
    workshop_left,
)
from kits.supplies.items import Item
from kits.supplies.kit_items import KitItem

__all__ = ["KitPacking", "Material", "PackingList", "PackingState", "SharedRow", "packing_list"]

PackingState = Literal["to-pack", "missing", "packed", "handed-out", "returned"]


@dataclass(frozen=True)
class Material:
    """One thing of one kit: what goes in, what is in, and whether there is enough of it to put the rest in."""

    need: KitItem
    packed: int
    at_hand: int

    @property
    def left(self) -> int:
        return left_to_pack(self.need, self.packed)

    @property
    def done(self) -> bool:
        return self.left == 0

    @property
    def missing(self) -> bool:
        """Neither in the bag nor in the cupboard."""
        return self.left > self.at_hand


@dataclass(frozen=True)
class KitPacking:
    """One kit on the list. `where` is the last that was said of the bag: handed out, or taken back."""

    kit: Kit
    names: tuple[str, ...]
    materials: tuple[Material, ...]
    where: str | None

    @property
    def missing(self) -> tuple[Material, ...]:
        """What is not in the bag though it should be, once packing has begun or the cupboard cannot give it."""
        return tuple(one for one in self.materials if not one.done)

    @property
    def state(self) -> PackingState:
        """Handed out and returned as was said; before that, from what is in the bag and in the cupboard."""
        if self.where == Event.Kind.HANDED_OUT:
            return "handed-out"
        if self.where == Event.Kind.TAKEN_BACK:
            return "returned"
        if not self.missing:
            return "packed"
        return "missing" if any(one.missing for one in self.materials) else "to-pack"


@dataclass(frozen=True)
class SharedRow:
    """A supply that all kits share: how much, how much lies on the table, and whether the rest is there."""

    item: Item
    wanted: int
    set_out: int
    at_hand: int

    @property
    def done(self) -> bool:
        return self.set_out >= self.wanted


@dataclass(frozen=True)
class PackingList:
    """All kits of a workshop, what they share, and how much of what is needed nothing is set aside for."""

    kits: tuple[KitPacking, ...]
    shared: tuple[SharedRow, ...]
    needs: tuple[Need, ...]
    short: Mapping[Item, int]

    @property
    def uncovered(self) -> bool:
        """Whether reserving now would change anything for the better."""
        return any(need.uncovered > self.short.get(need.item, 0) for need in self.needs)

    @property
    def reserved(self) -> bool:
        return any(need.reserved for need in self.needs)


def packing_list(workshop: Workshop) -> PackingList:
    """The packing list as it is now; ten queries however many kits."""
    needs = needs_of([workshop])[0]
    cupboard = read_cupboard(workshop.owner, [workshop])
    where = _where(needs.kits)
    lefts = tuple(workshop_left(needs, cupboard))
    return PackingList(
        tuple(_kit(kit, needs, cupboard, where.get(kit.pk)) for kit in needs.kits),
        tuple(_shared(row.item, row.shared, cupboard, workshop) for row in needs.rows if row.shared),
        lefts,
        {need.item: short for need in lefts if (short := need.uncovered - cupboard.balance(need.item).free) > 0},
    )


def _kit(kit: Kit, needs: WorkshopNeeds, cupboard: Cupboard, where: str | None) -> KitPacking:
    materials = []
    for one in needs.items[kit.pk]:
        gone = cupboard.gone_to(needs.workshop, one.item)
        materials.append(Material(one, gone.packed.get(kit.pk, 0), _at_hand(one.item, gone, cupboard)))
    names = tuple(learner.display_name for learner in kit.learners.all())
    return KitPacking(kit, names, tuple(materials), where)


def _shared(item: Item, wanted: int, cupboard: Cupboard, workshop: Workshop) -> SharedRow:
    gone = cupboard.gone_to(workshop, item)
    return SharedRow(item, wanted, gone.set_out, _at_hand(item, gone, cupboard))


def _at_hand(item: Item, gone: Gone, cupboard: Cupboard) -> int:
    return gone.reserved + cupboard.balance(item).free


def _where(kits: Iterable[Kit]) -> dict[int, str]:
    kinds = (Event.Kind.HANDED_OUT, Event.Kind.TAKEN_BACK)
    events = Event.objects.filter(kit__in=list(kits), kind__in=kinds).order_by("pk")
    return dict(events.values_list("kit_id", "kind"))
