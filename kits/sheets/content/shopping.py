"""The shopping list on paper: what is short, which packs to buy, a box to tick for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kits.sheets.content.lengths import spoken_metres
from kits.sheets.content.values import Heading, Sheet, Units
from kits.supplies.items import Item, money_of
from kits.supplies.packs import Bought
from kits.supplies.shopping import Shopping, ShoppingRow
from kits.supplies.wording import spoken_amount
from projects.circuit.text import Message, msg

__all__ = ["PackLine", "ShoppingLine", "ShoppingList", "shopping_list"]


@dataclass(frozen=True)
class PackLine:
    """So many packs of one kind: how many, what is in one, where it is sold, the price of one and of all.

    `holds` is empty for what is sold loose; `packs` is then the amount with its unit.
    """

    packs: str
    holds: str
    name: str
    price: str
    cost: str


@dataclass(frozen=True)
class ShoppingLine:
    """One thing to buy. No `packs` where nobody is known to sell it; `left_over` is empty where nothing is."""

    name: str
    about: Message | None
    wanted: str
    at_hand: str
    short: str
    packs: tuple[PackLine, ...]
    left_over: str


@dataclass(frozen=True)
class ShoppingList(Sheet):
    """All that stands on a shopping list; money is in what the prices were entered in, with tax.

    `day` is when it was made, as people read it; `workshops` are named where they are several.
    """

    day: str
    workshops: tuple[str, ...]
    lines: tuple[ShoppingLine, ...]
    cost: str
    without_price: int


def shopping_list(
    shopping: Shopping, *, heading: Heading, day: str, workshops: Sequence[str] = (), units: Units = "cm"
) -> ShoppingList:
    """The list of what is short for these workshops, in the packs that cost least."""
    return ShoppingList(
        heading=heading,
        day=day,
        workshops=tuple(workshops),
        lines=tuple(_line(row, units) for row in shopping.rows),
        cost=str(money_of(shopping.cost)),
        without_price=len(shopping.without_offer),
    )


def _line(row: ShoppingRow, units: Units) -> ShoppingLine:
    item, want = row.want.item, row.want
    bought = row.basket.bought if row.basket else ()
    return ShoppingLine(
        name=item.name,
        about=msg("{ohms} ohms a metre", ohms=item.code) if item.kind == "thread" else None,
        wanted=_amount(item, want.wanted, units),
        at_hand=_amount(item, want.at_hand, units),
        short=_amount(item, want.short, units),
        packs=tuple(_pack(item, one, units) for one in bought),
        left_over=_amount(item, row.left_over, units) if row.left_over else "",
    )


def _pack(item: Item, bought: Bought, units: Units) -> PackLine:
    offer = bought.offer
    return PackLine(
        packs=_amount(item, bought.amount, units) if offer.loose else str(bought.packs),
        holds="" if offer.loose else _amount(item, offer.size, units),
        name=offer.name,
        price=str(money_of(offer.cost)),
        cost=str(money_of(bought.cost)),
    )


def _amount(item: Item, amount: int, units: Units) -> str:
    """Thread in metres or yards, whose thousandths are millimetres; everything else in its own unit. Never broken."""
    yards = item.kind == "thread" and units == "inch"
    return (spoken_metres(amount, units) if yards else spoken_amount(item, amount)).replace(" ", "\N{NO-BREAK SPACE}")
