"""What went into a kit, spares included, and what may be given to it as a spare."""

from __future__ import annotations

from kits.models import Kit, StockItem
from kits.services.packing import items_of
from kits.services.workshop_stock import read_cupboard
from kits.supplies.items import Item

__all__ = ["contents_of", "spares_for"]


def contents_of(kit: Kit) -> dict[Item, int]:
    """What is in the kit, in thousandths of each unit: packed and given, less what was put back."""
    rows = list(StockItem.objects.filter(movements__kit=kit).distinct())
    cupboard = read_cupboard(kit.workshop.owner, [kit.workshop], rows)
    inside = {item: cupboard.gone_to(kit.workshop, item).contents.get(kit.pk, 0) for item in cupboard.rows}
    return {item: amount for item, amount in inside.items() if amount > 0}


def spares_for(kit: Kit) -> dict[Item, int]:
    """What is at hand for the kit: first what its own circuit uses, then everything else."""
    cupboard = read_cupboard(kit.workshop.owner, [kit.workshop])
    at_hand = {
        item: cupboard.gone_to(kit.workshop, item).reserved + cupboard.balance(item).free for item in cupboard.rows
    }
    own = [one.item for one in items_of(kit)]
    return {item: at_hand[item] for item in dict.fromkeys([*own, *at_hand]) if at_hand.get(item, 0) > 0}
