"""A cupboard for tests: things to have in it, enough for some kits, and what is there."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from kits.models import Kit, StockItem, Workshop
from kits.services.packing import items_of
from kits.services.stock_counts import deliver
from kits.services.stock_ledger import balances
from kits.supplies.items import MILLI, Item
from kits.supplies.kit_items import part_item
from projects.circuit.catalogue import catalogue

__all__ = ["FELT", "LIGHT", "SWITCH", "kit_of", "on_hand", "page", "stocked", "there"]

LIGHT, SWITCH = part_item(catalogue()["light-white"]), part_item(catalogue()["slide-switch"])
FELT = Item("supply", "", "felt, A5 sheet", "sheet")


def kit_of(workshop: Workshop, number: int = 1) -> Kit:
    return Kit.objects.select_related("workshop__owner", "revision").get(workshop=workshop, number=number)


def stocked(workshop: Workshop, kits: int) -> None:
    """Enough in its teacher's cupboard for so many kits."""
    deliver(workshop.owner, {one.item: one.to_pack * kits for one in items_of(kit_of(workshop))})


def there(owner: User, item: Item) -> tuple[int, int]:
    """On hand and reserved, in whole units."""
    row = StockItem.objects.of(owner).get(name=item.name)
    balance = balances([row])[row.pk]
    return balance.on_hand // MILLI, balance.reserved // MILLI


def on_hand(item: Item) -> int:
    """On hand in anybody's cupboard, in thousandths."""
    row = StockItem.objects.get(name=item.name)
    return balances([row])[row.pk].on_hand


def page(client: Client, name: str, *args: object) -> str:
    """What a page says, with one space wherever its source has some."""
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())
