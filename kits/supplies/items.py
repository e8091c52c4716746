"""What can lie in a cupboard: parts, thread and supplies, each with its identity, in whole thousandths of a unit.

Amounts are whole numbers of thousandths (a piece is 1000, a millimetre of thread is 1 of a metre), so that what is
counted never drifts by rounding.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from hashlib import blake2s
from typing import Literal

__all__ = ["MILLI", "MONEY", "Item", "ItemKind", "Offer", "money_of", "offer_of", "thousandths"]

ItemKind = Literal["part", "thread", "supply"]

MILLI = 1000
"""Thousandths in one unit."""

MONEY = 1_000_000
"""Millionths in one of the money that prices are in: a price in cents with tax in hundredths of a percent is whole."""


@dataclass(frozen=True, order=True)
class Item:
    """One kind of thing, however many packs it comes in.

    `code` tells apart what a name alone does not: the part type's name in a file, or the thread's ohms per metre,
    since a circuit that works with one thread may not with another. Two things are the same if all four are.
    """

    kind: ItemKind
    code: str
    name: str
    unit: str

    @property
    def key(self) -> str:
        """A short name for forms, where the thing itself is too long; the same for the same thing."""
        text = json.dumps([self.kind, self.code, self.name, self.unit])
        return blake2s(text.encode(), digest_size=8).hexdigest()


@dataclass(frozen=True)
class Offer:
    """A pack that can be bought: thousandths of the unit in it, its cost in millionths with tax, and a name."""

    size: int
    cost: int
    name: str = ""

    def __post_init__(self) -> None:
        if self.size <= 0 or self.cost < 0:
            raise ValueError("A pack holds more than nothing and costs nothing or more.")

    @property
    def loose(self) -> bool:
        """Whether it is sold by the unit, so that there is no pack to speak of."""
        return self.size == MILLI and not self.name


def thousandths(amount: float | Decimal) -> int:
    """An amount in whole thousandths, rounded up.

    >>> thousandths(1.2), thousandths(0.0004), thousandths(3)
    (1200, 1, 3000)
    """
    if isinstance(amount, Decimal):
        return math.ceil(amount * MILLI)
    return math.ceil(amount * MILLI - 1e-6)  # what is whole but for floating point is not rounded up again


def offer_of(size: float | Decimal, price: float | Decimal, tax_percent: Decimal = Decimal(0), name: str = "") -> Offer:
    """A pack of `size` units at `price` without tax.

    >>> offer_of(10, Decimal("12.50"), Decimal("20")).cost
    15000000
    """
    gross = Decimal(str(price)) * (100 + tax_percent) / 100
    return Offer(max(1, thousandths(size)), int((gross * MONEY).to_integral_value(ROUND_HALF_UP)), name)


def money_of(cost: int) -> Decimal:
    """A cost in millionths as money with two decimals, half a cent up.

    >>> money_of(1_005_000), money_of(0)
    (Decimal('1.01'), Decimal('0.00'))
    """
    return (Decimal(cost) / MONEY).quantize(Decimal("0.01"), ROUND_HALF_UP)
