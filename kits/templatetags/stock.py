"""Names, amounts and money of the stock pages."""

from __future__ import annotations

from decimal import Decimal

from django import template

from kits.supplies.items import Item, money_of
from kits.supplies.wording import spoken_amount
from projects.said import say_name

__all__ = ["amount", "money"]

register = template.Library()
register.filter("called", say_name)


@register.filter
def amount(item: Item, thousandths: int) -> str:
    """So much of an item, with its unit."""
    return spoken_amount(item, thousandths)


@register.filter
def money(cost: int) -> Decimal:
    """A cost in millionths, with two decimals."""
    return money_of(cost)
