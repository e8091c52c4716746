"""The stock page's view of a cupboard: what is there, what is reserved, and what is to buy for the classes to come."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.models import User

from kits.models import StockItem, Workshop
from kits.services.stock_ledger import Balance
from kits.services.workshop_stock import Cupboard, needs_of, read_cupboard, to_come, wanted_by
from kits.supplies.items import Item
from kits.supplies.shopping import Shopping, Wanted, shopping

__all__ = ["StockRow", "shopping_for", "stock_list"]


@dataclass(frozen=True)
class StockRow:
    """One thing, with its row in the cupboard if it has one; `to_buy` in thousandths of its unit."""

    item: Item
    row: StockItem | None
    balance: Balance
    to_buy: int


def stock_list(user: User) -> list[StockRow]:
    """Everything in the user's cupboard, and everything that the workshops to come need: by kind, then name."""
    workshops = to_come(user)
    cupboard = read_cupboard(user, workshops)
    short = {want.item: want.short for want in _wanted(workshops, cupboard)}
    items = sorted({*cupboard.rows, *short}, key=lambda item: (_ORDER[item.kind], item.name.casefold(), item))
    return [
        StockRow(item, cupboard.rows.get(item), cupboard.balance(item), short.get(item, 0))
        for item in items
        if item in cupboard.rows or short.get(item)
    ]


def shopping_for(user: User, workshops: list[Workshop]) -> Shopping:
    """What is to buy for these workshops of the user, in the packs that cost least."""
    return shopping(_wanted(workshops, read_cupboard(user, workshops)))


_ORDER = {"part": 0, "thread": 1, "supply": 2}


def _wanted(workshops: list[Workshop], cupboard: Cupboard) -> list[Wanted]:
    wanted = wanted_by(needs_of(workshops), cupboard)
    return sorted(wanted, key=lambda want: _ORDER[want.item.kind])
