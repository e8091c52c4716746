"""A shopping list: what is short, and the packs that cover it at least cost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kits.supplies.items import Item, Offer
from kits.supplies.packs import Basket, cheapest_packs

__all__ = ["Shopping", "ShoppingRow", "Wanted", "shopping"]


@dataclass(frozen=True)
class Wanted:
    """What is still wanted of one thing, what there is for it, and the packs on offer; amounts in thousandths."""

    item: Item
    wanted: int
    at_hand: int
    offers: tuple[Offer, ...]

    @property
    def short(self) -> int:
        """What must be bought."""
        return max(0, self.wanted - self.at_hand)


@dataclass(frozen=True)
class ShoppingRow:
    """One thing to buy. `basket` is None where no pack is known, so that the teacher must say one."""

    want: Wanted
    basket: Basket | None

    @property
    def left_over(self) -> int:
        """What the packs hold beyond what is short."""
        return self.basket.amount - self.want.short if self.basket else 0


@dataclass(frozen=True)
class Shopping:
    """All that is short; `cost` is in millionths, with tax."""

    rows: tuple[ShoppingRow, ...]

    @property
    def cost(self) -> int:
        return sum(row.basket.cost for row in self.rows if row.basket)

    @property
    def without_offer(self) -> Sequence[Item]:
        """What nobody is known to offer."""
        return [row.want.item for row in self.rows if row.basket is None]


def shopping(wanted: Iterable[Wanted]) -> Shopping:
    """The list of what is short, in the order given."""
    return Shopping(tuple(ShoppingRow(want, cheapest_packs(want.short, want.offers)) for want in wanted if want.short))
