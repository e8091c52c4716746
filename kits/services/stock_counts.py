"""What comes into the cupboard, what is counted there, and what is lost."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import StockItem, StockMovement
from kits.services.layouts import NotNow
from kits.services.stock_ledger import balances, locked, write
from kits.supplies.items import Item
from kits.supplies.wording import spoken_amount

__all__ = ["correct", "deliver", "lose", "new_item"]

Kind = StockMovement.Kind


def new_item(owner: User, item: Item) -> StockItem:
    """A thing that the cupboard has a place for from now on; the one that is there if it had one already."""
    with transaction.atomic():
        return locked(owner, [item])[item]


def deliver(owner: User, amounts: Mapping[Item, int]) -> None:
    """These things came, in thousandths of their units; all of them or, if anything fails, none."""
    with transaction.atomic():
        rows = locked(owner, amounts)
        there = balances(rows.values())
        for item, row in rows.items():
            if amounts[item] > 0:
                write(row, Kind.DELIVERED, before=there[row.pk], change=amounts[item], user=owner)


def correct(owner: User, item: Item, counted: int, reason: str) -> None:
    """So much was counted, whatever the ledger says. Raises NotNow if more than that is reserved."""
    with transaction.atomic():
        row = locked(owner, [item])[item]
        before = balances([row])[row.pk]
        if counted < before.reserved:
            raise NotNow(_too_few(item, before.reserved))
        write(row, Kind.CORRECTED, before=before, change=counted - before.on_hand, reason=reason, user=owner)


def lose(owner: User, item: Item, amount: int, reason: str) -> None:
    """So much was lost or broken in the cupboard. Raises NotNow if the rest is less than what is reserved."""
    with transaction.atomic():
        row = locked(owner, [item])[item]
        before = balances([row])[row.pk]
        if amount > before.on_hand:
            raise NotNow(_("There are only {there} here.").format(there=spoken_amount(item, before.on_hand)))
        if amount > before.free:
            raise NotNow(_too_few(item, before.reserved))
        write(row, Kind.LOST, before=before, change=-amount, reason=reason, user=owner)


def _too_few(item: Item, reserved: int) -> str:
    text = _("{reserved} are reserved for workshops. On a workshop's packing page, release what it must go without.")
    return text.format(reserved=spoken_amount(item, reserved))
