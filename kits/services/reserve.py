"""Setting stock aside for a workshop, and no longer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction

from kits.models import StockItem, StockMovement, Workshop
from kits.services.stock_ledger import Balance, balances, gone_to, locked, write
from kits.services.workshop_stock import needs_of, read_cupboard, workshop_left
from kits.supplies.items import Item

__all__ = ["Reserved", "release", "reserve"]

Kind = StockMovement.Kind


@dataclass(frozen=True)
class Reserved:
    """What was set aside just now, and what is still short, each in thousandths by what it is."""

    reserved: Mapping[Item, int]
    short: Mapping[Item, int]


def reserve(workshop: Workshop, user: User) -> Reserved:
    """Set aside what the workshop still needs, as far as it is free; what it no longer needs is released."""
    needs = needs_of([workshop])[0]
    done: dict[Item, int] = {}
    short: dict[Item, int] = {}
    with transaction.atomic():
        rows = locked(workshop.owner, [row.item for row in needs.rows])
        cupboard = read_cupboard(workshop.owner, [workshop], list(rows.values()))
        for need in workshop_left(needs, cupboard):
            before = cupboard.balance(need.item)
            change = min(need.left - need.reserved, before.free)
            if change:
                kind = Kind.RESERVED if change > 0 else Kind.RELEASED
                _set_aside(rows[need.item], kind, before, change, workshop, user)
            if change > 0:
                done[need.item] = change
            if need.uncovered > max(0, change):
                short[need.item] = need.uncovered - max(0, change)
    return Reserved(done, short)


def release(workshop: Workshop, user: User | None, only: Iterable[StockItem] | None = None) -> int:
    """Nothing, or nothing of `only`, is set aside for the workshop any more; returns of how many things that frees."""
    held = StockItem.objects.filter(movements__workshop=workshop).distinct() if only is None else only
    with transaction.atomic():
        rows = StockItem.objects.filter(pk__in=[row.pk for row in held]).select_for_update().order_by("pk")
        rows_by_id = {row.pk: row for row in rows}
        gone, there = gone_to([workshop]), balances(rows_by_id.values())
        freed = 0
        for (_workshop, pk), what in gone.items():
            if what.reserved and pk in rows_by_id:
                _set_aside(rows_by_id[pk], Kind.RELEASED, there[pk], -what.reserved, workshop, user)
                freed += 1
    return freed


def _set_aside(
    row: StockItem, kind: StockMovement.Kind, before: Balance, change: int, workshop: Workshop, user: User | None
) -> None:
    write(row, kind, before=before, reserve_change=change, workshop=workshop, user=user)
