"""Which packs to buy: those that cover what is needed at least cost, exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from heapq import heappop, heappush
from math import gcd

from kits.supplies.items import Offer

__all__ = ["Basket", "Bought", "cheapest_packs"]


@dataclass(frozen=True)
class Bought:
    """So many packs of one offer."""

    offer: Offer
    packs: int

    @property
    def amount(self) -> int:
        return self.offer.size * self.packs

    @property
    def cost(self) -> int:
        return self.offer.cost * self.packs


@dataclass(frozen=True)
class Basket:
    """The packs to buy of one thing; amounts in thousandths of its unit, cost in millionths with tax."""

    bought: tuple[Bought, ...] = ()

    @property
    def amount(self) -> int:
        return sum(row.amount for row in self.bought)

    @property
    def cost(self) -> int:
        return sum(row.cost for row in self.bought)


def cheapest_packs(needed: int, offers: Sequence[Offer]) -> Basket | None:
    """Packs of `offers` that hold `needed` or more at least cost; of equal cost the least left over, then the fewest.

    None where something is needed and nobody offers it. Exact: a covering knapsack with as many of each pack as one
    likes, by dynamic programming over the amounts that packs can add up to.

    >>> tens, single = Offer(10_000, 900), Offer(1_000, 100)
    >>> [(row.offer.size, row.packs) for row in cheapest_packs(12_000, [tens, single]).bought]
    [(10000, 1), (1000, 2)]
    """
    if needed <= 0:
        return Basket()
    offers = tuple(dict.fromkeys(offers))
    if not offers:
        return None
    best = min(offers, key=lambda offer: (Fraction(offer.cost, offer.size), -offer.size))
    sure = _sure_packs(needed, best, offers)
    counts = _cover(needed - sure * best.size, offers)
    counts[offers.index(best)] += sure
    return Basket(tuple(Bought(offer, number) for offer, number in zip(offers, counts, strict=True) if number))


def _sure_packs(needed: int, best: Offer, offers: Sequence[Offer]) -> int:
    """How many packs of the best value are bought whatever the rest: what keeps an absurd need short to work out.

    Measured in the sizes' common divisor the best pack has b parts. Of any b other packs some hold together a whole
    number of best packs (two of the b + 1 running sums leave the same remainder), and best packs in their place cost
    no more and are no more in number. So an answer exists with fewer than b others.
    """
    parts = best.size // reduce(gcd, (offer.size for offer in offers))
    others = (parts - 1) * max(offer.size for offer in offers)
    return max(0, (needed - others) // best.size)


def _cover(needed: int, offers: Sequence[Offer]) -> list[int]:
    """Numbers of each offer: the amounts that can be reached, smallest first, each by its best way."""
    if needed <= 0:
        return [0] * len(offers)
    start = (0, 0, (0,) * len(offers))  # cost, packs, numbers
    ways = {0: start}
    amounts = [0]
    ends: list[tuple[int, int, int, tuple[int, ...]]] = []
    while amounts:
        amount = heappop(amounts)
        cost, packs, numbers = ways[amount]
        if amount >= needed:
            ends.append((cost, amount, packs, numbers))
            continue
        for at, offer in enumerate(offers):
            way = (cost + offer.cost, packs + 1, (*numbers[:at], numbers[at] + 1, *numbers[at + 1 :]))
            reached = amount + offer.size
            if reached not in ways:
                heappush(amounts, reached)
                ways[reached] = way
            elif way < ways[reached]:
                ways[reached] = way
    return list(min(ends)[3])
