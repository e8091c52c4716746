"""Giving a kit a spare: the stock moves, and the kit's record says so."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit, StockMovement
from kits.services.access import Person
from kits.services.events import log
from kits.services.layouts import NotNow
from kits.services.packing import take_out
from kits.services.stock_ledger import write
from kits.supplies.items import Item
from kits.supplies.wording import spoken_amount
from projects.said import say_name

__all__ = ["give_spare"]


def give_spare(kit: Kit, person: Person, item: Item, amount: int, reason: str) -> None:
    """Give a kit so much more of a thing, in thousandths of its unit: first what is set aside for its workshop.

    Raises NotNow if there is too little of it that no other workshop has reserved.
    """
    with transaction.atomic():
        stands = take_out(kit.workshop, [item])[item]
        if amount > stands.at_hand:
            there = spoken_amount(item, stands.at_hand)
            raise NotNow(_("Of {name}, only {there} can be given.").format(name=say_name(item.name), there=there))
        write(
            stands.row,
            StockMovement.Kind.SPARE,
            before=stands.balance,
            change=-amount,
            reserve_change=-min(amount, stands.gone.reserved),
            workshop=kit.workshop,
            kit=kit,
            user=person.user,
        )
        given = (
            f"{spoken_amount(item, amount)} × {say_name(item.name)}" if item.kind == "part" else _spoken(item, amount)
        )
        log(kit, Event.Kind.SPARE_GIVEN, person.signs, text=f"{given}: {reason}" if reason else given)


def _spoken(item: Item, amount: int) -> str:
    return f"{say_name(item.name)}, {spoken_amount(item, amount)}"
