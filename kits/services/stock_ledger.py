"""The ledger of a cupboard: reading balances, and the one place where a movement is written."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.contrib.auth.models import User
from django.db.models import OuterRef, Q, Subquery, Sum

from kits.models import Kit, StockItem, StockMovement, Workshop
from kits.supplies.items import Item

__all__ = ["Balance", "Gone", "balances", "gone_to", "item_row", "locked", "write"]

Kind = StockMovement.Kind


@dataclass(frozen=True)
class Balance:
    """What there is of one item, in thousandths of its unit, and how many movements led there."""

    on_hand: int = 0
    reserved: int = 0
    number: int = 0

    @property
    def free(self) -> int:
        """On hand and not set aside for any workshop."""
        return self.on_hand - self.reserved


@dataclass(frozen=True)
class Gone:
    """What the ledger says of one item for one workshop, in thousandths.

    `reserved`: set aside for it now. `packed`: in each kit's bag by the kit's id, spares left out; `contents`: the
    same with spares, less what was put back. `spares`: given in all; `set_out`: laid on the table for all.
    """

    reserved: int = 0
    packed: Mapping[int, int] = field(default_factory=dict)
    contents: Mapping[int, int] = field(default_factory=dict)
    spares: int = 0
    set_out: int = 0


def balances(items: Iterable[StockItem]) -> dict[int, Balance]:
    """The balance of each item by its id; one query. Lock the items first if something will follow from it."""
    newest = StockMovement.objects.filter(item=OuterRef("pk")).order_by("-number")
    rows = StockItem.objects.filter(pk__in=[item.pk for item in items]).values_list(
        "pk", *(Subquery(newest.values(name)[:1]) for name in ("on_hand", "reserved", "number"))
    )
    return {pk: Balance(on_hand or 0, reserved or 0, number or 0) for pk, on_hand, reserved, number in rows}


def gone_to(workshops: Iterable[Workshop]) -> dict[tuple[int, int], Gone]:
    """What was reserved for and given to each workshop, by (workshop's id, item's id); one query."""
    movements = StockMovement.objects.filter(workshop__in=list(workshops)).order_by()
    sums = movements.values("workshop_id", "item_id", "kit_id", "kind")
    found: dict[tuple[int, int], list[tuple[int | None, str, int, int]]] = defaultdict(list)
    for row in sums.annotate(out=Sum("change"), aside=Sum("reserve_change")):
        found[row["workshop_id"], row["item_id"]].append((row["kit_id"], row["kind"], -row["out"], row["aside"]))
    return {key: _gone(rows) for key, rows in found.items()}


def locked(owner: User, items: Iterable[Item]) -> dict[Item, StockItem]:
    """The rows of these things in the owner's cupboard, made where there are none, locked until the transaction ends.

    Always in the same order, so that two who lock never wait for each other. Call it inside a transaction, and read
    balances only afterwards.
    """
    wanted = set(items)
    known = {row.item: row.pk for row in StockItem.objects.of(owner) if row.item in wanted}
    new = sorted(wanted - set(known))
    # Where somebody else makes the same row at this moment, theirs is taken.
    StockItem.objects.bulk_create([item_row(owner, item) for item in new], ignore_conflicts=True)
    chosen = Q(pk__in=known.values())
    for item in new:
        chosen |= Q(kind=item.kind, code=item.code, name=item.name, unit=item.unit)
    return {row.item: row for row in StockItem.objects.of(owner).filter(chosen).select_for_update().order_by("pk")}


def item_row(owner: User, item: Item) -> StockItem:
    """A row for this thing, not saved."""
    return StockItem(owner=owner, kind=item.kind, code=item.code, name=item.name, unit=item.unit)


def write(
    item: StockItem,
    kind: StockMovement.Kind,
    *,
    before: Balance,
    change: int = 0,
    reserve_change: int = 0,
    workshop: Workshop | None = None,
    kit: Kit | None = None,
    reason: str = "",
    user: User | None = None,
) -> Balance:
    """Add a movement to an item that is locked, whose balance is `before`; returns the balance after it.

    Raises IntegrityError if that balance is an old one, or if it would leave less than nothing.
    """
    after = Balance(before.on_hand + change, before.reserved + reserve_change, before.number + 1)
    StockMovement.objects.create(
        item=item,
        number=after.number,
        kind=kind,
        change=change,
        reserve_change=reserve_change,
        on_hand=after.on_hand,
        reserved=after.reserved,
        workshop=workshop,
        kit=kit,
        reason=reason,
        user=user,
    )
    return after


def _gone(rows: Iterable[tuple[int | None, str, int, int]]) -> Gone:
    packed: dict[int, int] = defaultdict(int)
    contents: dict[int, int] = defaultdict(int)
    reserved = spares = set_out = 0
    for kit_id, kind, out, aside in rows:
        reserved += aside
        if kit_id is None:
            set_out += out
            continue
        contents[kit_id] += out
        if kind == Kind.SPARE:
            spares += out
        elif kind != Kind.RETURNED:
            packed[kit_id] += out
    return Gone(reserved, packed, contents, spares, set_out)
