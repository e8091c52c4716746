"""The demo's cupboard: filled before the session through the services that the pages use; some things are short."""

from __future__ import annotations

from kits.models import StockOffer, Workshop
from kits.services.reserve import reserve
from kits.services.stock_counts import deliver, lose, new_item
from kits.services.workshop_stock import needs_of
from kits.supplies.items import MILLI
from kits.supplies.packs import cheapest_packs
from kits.supplies.workshop_items import WorkshopItem

__all__ = ["SHORT", "fill_cupboard", "reserve_for_session"]

SHORT = {"buzzer": 1, "light-yellow": 12, "felt, A4 sheet": 6}
"""How many of these came, by part type or name, whatever is needed."""

_OFFERS = (
    # Part type or kind, how much in a pack, price without tax, tax in percent, what is on the pack.
    ("light-yellow", "10", "2.50", "20", "bag of ten"),
    ("light-yellow", "4", "1.10", "20", "small bag"),
    ("thread", "20", "5.00", "20", "small spool"),
    ("thread", "60", "13.50", "20", "large spool"),
)


def fill_cupboard(workshop: Workshop) -> None:
    """What the workshop needs came, in packs; of some things less; and two packs of a kind can be had."""
    rows = needs_of([workshop])[0].rows
    deliver(workshop.owner, {row.item: _came(row) for row in rows})
    for row in rows:
        for name, size, price, tax, pack in _OFFERS:
            if name in (row.item.code, row.item.kind):
                item = new_item(workshop.owner, row.item)
                StockOffer.objects.create(item=item, size=size, price=price, tax_percent=tax, name=pack)
    broken = next(row.item for row in rows if row.item.code == "slide-switch")
    lose(workshop.owner, broken, 1 * MILLI, "A terminal broke off while they were counted.")


def reserve_for_session(workshop: Workshop) -> None:
    """Set aside for the workshop what there is of what it needs."""
    reserve(workshop, workshop.owner)


def _came(row: WorkshopItem) -> int:
    for name in (row.item.code, row.item.name):
        if name in SHORT:
            return SHORT[name] * MILLI
    basket = cheapest_packs(row.amount, row.offers)
    return basket.amount if basket else 0
