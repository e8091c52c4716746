"""What workshops still need, beside what there is for them in the teacher's cupboard."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.utils import timezone

from kits.models import Kit, StockItem, StockOffer, Workshop
from kits.services.kit_needs import habits_of, kit_cuts, texts_to_sew
from kits.services.stock_ledger import Balance, Gone, balances, gone_to
from kits.supplies.items import Item, Offer
from kits.supplies.kit_items import KitItem, kit_items
from kits.supplies.shopping import Wanted
from kits.supplies.workshop_items import WorkshopItem, workshop_items

__all__ = [
    "Cupboard",
    "Need",
    "WorkshopNeeds",
    "left_to_pack",
    "needs_of",
    "read_cupboard",
    "to_come",
    "wanted_by",
    "workshop_left",
]


@dataclass(frozen=True)
class WorkshopNeeds:
    """The kits of a workshop, in order, with what goes into each; and what the workshop needs in all."""

    workshop: Workshop
    kits: tuple[Kit, ...]
    items: Mapping[int, tuple[KitItem, ...]]
    rows: tuple[WorkshopItem, ...]


@dataclass(frozen=True)
class Cupboard:
    """A teacher's cupboard as it is now: rows, balances, own offers, and what went to each workshop."""

    rows: Mapping[Item, StockItem]
    balances: Mapping[int, Balance]
    offers: Mapping[int, tuple[Offer, ...]]
    gone: Mapping[tuple[int, int], Gone]

    def balance(self, item: Item) -> Balance:
        row = self.rows.get(item)
        return self.balances[row.pk] if row else Balance()

    def gone_to(self, workshop: Workshop, item: Item) -> Gone:
        row = self.rows.get(item)
        return self.gone.get((workshop.pk, row.pk), Gone()) if row else Gone()


@dataclass(frozen=True)
class Need:
    """What one workshop still needs of one thing, in thousandths; `left` counts spares, `reserved` is set aside."""

    item: Item
    kits_left: int
    shared_left: int
    spare_left: int
    reserved: int
    offers: tuple[Offer, ...]

    @property
    def left(self) -> int:
        return self.kits_left + self.shared_left + self.spare_left

    @property
    def uncovered(self) -> int:
        """What nothing is set aside for yet."""
        return max(0, self.left - self.reserved)


def to_come(user: User) -> list[Workshop]:
    """The user's own workshops with a session today or later."""
    days = Workshop.objects.taught_by(user).filter(sessions__date__gte=timezone.localdate())
    return list(days.distinct())


def needs_of(workshops: Sequence[Workshop]) -> list[WorkshopNeeds]:
    """What these workshops need, whatever there is; five queries however many they are."""
    kits_of: dict[int, list[Kit]] = defaultdict(list)
    for kit in Kit.objects.filter(workshop__in=workshops).order_by("number").prefetch_related("revision", "learners"):
        kits_of[kit.workshop_id].append(kit)
    texts = texts_to_sew(kit for kits in kits_of.values() for kit in kits)
    return [_needs(workshop, kits_of[workshop.pk], texts) for workshop in workshops]


def read_cupboard(owner: User, workshops: Sequence[Workshop], rows: Sequence[StockItem] | None = None) -> Cupboard:
    """The owner's cupboard, or only these rows of it, with what went to these workshops; four queries at most."""
    if rows is None:
        rows = list(StockItem.objects.of(owner))
    offers: dict[int, list[Offer]] = defaultdict(list)
    for row in StockOffer.objects.filter(item__in=rows):
        offers[row.item_id].append(row.offer)
    return Cupboard(
        {row.item: row for row in rows},
        balances(rows),
        {pk: tuple(found) for pk, found in offers.items()},
        gone_to(workshops),
    )


def left_to_pack(one: KitItem, packed: int) -> int:
    """What is still to go into a bag: nothing once there is enough to make the object, though a plan has changed."""
    return 0 if packed >= one.needed else one.to_pack - packed


def workshop_left(needs: WorkshopNeeds, cupboard: Cupboard) -> list[Need]:
    """What one workshop still needs, in the order of its needs."""
    by_item: dict[Item, list[tuple[int, KitItem]]] = defaultdict(list)
    for kit_id, items in needs.items.items():
        for one in items:
            by_item[one.item].append((kit_id, one))
    return [_need(row, by_item[row.item], cupboard.gone_to(needs.workshop, row.item)) for row in needs.rows]


def wanted_by(all_needs: Sequence[WorkshopNeeds], cupboard: Cupboard) -> list[Wanted]:
    """What these workshops together still want of each thing, and what is at hand for it.

    At hand is what is set aside for them, as far as they need it, and what is free; not what others have reserved.
    The teacher's own offers come before those that the projects name.
    """
    found: dict[Item, list[Need]] = defaultdict(list)
    for needs in all_needs:
        for need in workshop_left(needs, cupboard):
            found[need.item].append(need)
    return [_wanted(item, rows, cupboard) for item, rows in found.items()]


def _needs(workshop: Workshop, kits: Sequence[Kit], texts: Mapping[int, str]) -> WorkshopNeeds:
    habits = habits_of(workshop)
    needs = kit_cuts(kits, habits, texts)
    items = {pk: kit_items(one, habits) for pk, one in needs.items()}
    return WorkshopNeeds(workshop, tuple(kits), items, workshop_items(list(needs.values()), habits))


def _need(row: WorkshopItem, kits: Sequence[tuple[int, KitItem]], gone: Gone) -> Need:
    # The spare of thread is its waste, which is in the bags.
    spare = row.spare if row.item.kind == "part" else 0
    return Need(
        row.item,
        sum(left_to_pack(one, gone.packed.get(kit_id, 0)) for kit_id, one in kits),
        max(0, row.shared - gone.set_out),
        max(0, spare - gone.spares),
        gone.reserved,
        row.offers,
    )


def _wanted(item: Item, needs: Sequence[Need], cupboard: Cupboard) -> Wanted:
    row = cupboard.rows.get(item)
    own = cupboard.offers.get(row.pk, ()) if row else ()
    named = tuple(dict.fromkeys(offer for need in needs for offer in need.offers))
    covered = sum(min(need.left, need.reserved) for need in needs)
    return Wanted(item, sum(need.left for need in needs), covered + cupboard.balance(item).free, own or named)
