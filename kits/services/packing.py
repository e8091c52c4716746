"""Packing kits from the cupboard, handing them out, and putting back what is left over."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit, StockItem, StockMovement, Workshop
from kits.services.access import Person
from kits.services.events import log
from kits.services.kit_needs import habits_of, kit_cuts
from kits.services.layouts import NotNow
from kits.services.stock_ledger import Balance, Gone, balances, gone_to, locked, write
from kits.services.workshop_stock import left_to_pack, needs_of
from kits.supplies.items import Item
from kits.supplies.kit_items import KitItem, kit_items
from kits.supplies.wording import spoken_amount
from projects.said import say_name

__all__ = ["Packed", "Taken", "hand_out", "items_of", "pack", "put_back", "set_out", "take_back", "take_out", "unpack"]

Kind = StockMovement.Kind


@dataclass(frozen=True)
class Packed:
    """What went into the kit just now, and what could not since there is too little of it."""

    packed: tuple[Item, ...]
    short: tuple[Item, ...]


@dataclass(frozen=True)
class Taken:
    """An item's row under lock, its balance, and what went to the workshop: all that a movement follows from."""

    row: StockItem
    balance: Balance
    gone: Gone

    @property
    def at_hand(self) -> int:
        """What this workshop may take: what is set aside for it, and what is free."""
        return self.gone.reserved + self.balance.free


def take_out(workshop: Workshop, items: Collection[Item]) -> dict[Item, Taken]:
    """Lock these items of the workshop's teacher and read how they stand. Call it inside a transaction."""
    rows = locked(workshop.owner, items)
    there, gone = balances(rows.values()), gone_to([workshop])
    return {item: Taken(row, there[row.pk], gone.get((workshop.pk, row.pk), Gone())) for item, row in rows.items()}


def pack(kit: Kit, person: Person, only: Collection[Item] | None = None) -> Packed:
    """Put what the kit still lacks into its bag: all of it, or `only` these; a thing goes in whole or not at all."""
    needs = items_of(kit)
    packed, short = [], []
    with transaction.atomic():
        taken = take_out(kit.workshop, [one.item for one in needs])
        for one in (one for one in needs if only is None or one.item in only):
            stands = taken[one.item]
            amount = left_to_pack(one, stands.gone.packed.get(kit.pk, 0))
            if amount > stands.at_hand:
                short.append(one.item)
            elif amount:
                _out(kit.workshop, stands, Kind.PACKED, amount, person.user, kit)
                packed.append(one.item)
        if packed and _complete(kit, needs, taken):
            log(kit, Event.Kind.PACKED, person.signs)
    return Packed(tuple(packed), tuple(short))


def unpack(kit: Kit, person: Person, only: Collection[Item] | None = None) -> None:
    """Take things out of the bag again, all or `only` these; they stay set aside for the workshop."""
    items = [one.item for one in items_of(kit)] if only is None else list(only)
    with transaction.atomic():
        for stands in take_out(kit.workshop, items).values():
            amount = min(stands.gone.packed.get(kit.pk, 0), stands.gone.contents.get(kit.pk, 0))
            if amount > 0:
                _back(kit, stands, Kind.UNPACKED, amount, person, still_reserved=amount)


def set_out(workshop: Workshop, user: User, item: Item) -> None:
    """Lay on the table what all kits share. Raises NotNow if there is too little of it."""
    needs = needs_of([workshop])[0]
    wanted = next((row.shared for row in needs.rows if row.item == item), 0)
    with transaction.atomic():
        stands = take_out(workshop, [item])[item]
        amount = wanted - stands.gone.set_out
        if amount > stands.at_hand:
            there = spoken_amount(item, stands.at_hand)
            raise NotNow(_("Of {name}, there are only {there}.").format(name=say_name(item.name), there=there))
        if amount > 0:
            _out(workshop, stands, Kind.SET_OUT, amount, user)


def hand_out(kit: Kit, person: Person) -> None:
    """The learner has the kit."""
    with transaction.atomic():
        log(kit, Event.Kind.HANDED_OUT, person.signs)


def take_back(kit: Kit, person: Person) -> None:
    """The kit is back with the teacher."""
    with transaction.atomic():
        log(kit, Event.Kind.TAKEN_BACK, person.signs)


def put_back(kit: Kit, person: Person, amounts: Mapping[Item, int]) -> None:
    """Put these leftovers of a kit back into stock, free for any workshop. Raises NotNow for more than went in."""
    with transaction.atomic():
        for item, stands in take_out(kit.workshop, [item for item, amount in amounts.items() if amount > 0]).items():
            inside = stands.gone.contents.get(kit.pk, 0)
            if amounts[item] > inside:
                text = _("Of {name}, only {inside} went into this kit.")
                raise NotNow(text.format(name=say_name(item.name), inside=spoken_amount(item, inside)))
            _back(kit, stands, Kind.RETURNED, amounts[item], person, still_reserved=0)


def items_of(kit: Kit) -> tuple[KitItem, ...]:
    """What goes into the kit, by its own layout as it is now."""
    habits = habits_of(kit.workshop)
    return kit_items(kit_cuts([kit], habits)[kit.pk], habits)


def _complete(kit: Kit, needs: Collection[KitItem], taken: Mapping[Item, Taken]) -> bool:
    gone = gone_to([kit.workshop])
    packed = {
        one.item: gone.get((kit.workshop_id, taken[one.item].row.pk), Gone()).packed.get(kit.pk, 0) for one in needs
    }
    return all(left_to_pack(one, packed[one.item]) == 0 for one in needs)


def _out(
    workshop: Workshop,
    stands: Taken,
    kind: StockMovement.Kind,
    amount: int,
    user: User | None,
    kit: Kit | None = None,
) -> None:
    """Out of the cupboard: first from what is set aside for the workshop, then from what is free."""
    aside = min(amount, stands.gone.reserved)
    write(
        stands.row,
        kind,
        before=stands.balance,
        change=-amount,
        reserve_change=-aside,
        workshop=workshop,
        kit=kit,
        user=user,
    )


def _back(
    kit: Kit, stands: Taken, kind: StockMovement.Kind, amount: int, person: Person, *, still_reserved: int
) -> None:
    write(
        stands.row,
        kind,
        before=stands.balance,
        change=amount,
        reserve_change=still_reserved,
        workshop=kit.workshop,
        kit=kit,
        user=person.user,
    )
