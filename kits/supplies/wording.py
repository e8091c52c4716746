"""Amounts as people read them."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from kits.supplies.items import MILLI, Item

__all__ = ["spoken_amount", "units_of"]


def units_of(amount: int) -> Decimal:
    """Thousandths as units, without trailing noughts.

    >>> units_of(12_000), units_of(2_250), units_of(-40_000)
    (Decimal('12'), Decimal('2.25'), Decimal('-40'))
    """
    whole = Decimal(amount) / MILLI
    return whole.quantize(Decimal(1)) if whole == whole.to_integral_value() else whole.normalize()


def spoken_amount(item: Item, amount: int) -> str:
    """An amount with its unit, to a hundredth; pieces are only counted.

    >>> spoken_amount(Item("thread", "30", "conductive thread", "m"), 2_015)
    '2.02 m'
    >>> spoken_amount(Item("part", "snap", "Metal snap", "piece"), 12_000)
    '12'
    """
    number = f"{(Decimal(amount) / MILLI).quantize(Decimal('0.01'), ROUND_HALF_UP):f}".rstrip("0").rstrip(".")
    number = "0" if number == "-0" else number.replace("-", "−")
    return number if item.unit in ("piece", "") else f"{number} {item.unit}"
