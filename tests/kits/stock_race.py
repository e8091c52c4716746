"""Many at once at one cupboard, each with a connection of its own; prints what came of it as JSON.

A program for `test_stock_race`, run with the database that `DATABASE_URL` names.
"""

from __future__ import annotations

import json
import random
import sys
import threading
from collections.abc import Callable

import django

django.setup()

from django.contrib.auth.models import User  # noqa: E402
from django.db import connection  # noqa: E402

from kits.models import Kit, StockItem, StockMovement, Workshop  # noqa: E402
from kits.services.access import Person  # noqa: E402
from kits.services.packing import items_of, pack  # noqa: E402
from kits.services.reserve import reserve  # noqa: E402
from kits.services.stock_counts import deliver  # noqa: E402
from kits.supplies.items import Item  # noqa: E402
from tests.kits.factories import make_user, make_workshop  # noqa: E402
from tests.kits.stock_race_figures import AT_ONCE, ENOUGH_FOR, KITS  # noqa: E402


def at_once(*acts: Callable[[], object]) -> list[str]:
    """Run all of them as near to the same moment as can be; what went wrong, if anything did."""
    start, wrong = threading.Barrier(len(acts)), []

    def one(act: Callable[[], object]) -> None:
        try:
            start.wait()
            act()
        except Exception as error:  # whatever it is, the test must hear of it
            wrong.append(repr(error))
        finally:
            connection.close()

    threads = [threading.Thread(target=one, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return wrong


def pack_all(workshop: Workshop, seed: int) -> None:
    """Pack every kit, in an order of one's own."""
    person = Person(user=workshop.owner)
    kits = list(Kit.objects.filter(workshop=workshop).select_related("workshop__owner", "revision"))
    random.Random(seed).shuffle(kits)
    for kit in kits:
        pack(kit, person)


def for_kits(workshop: Workshop, number: int) -> dict[Item, int]:
    kit = Kit.objects.select_related("workshop__owner", "revision").filter(workshop=workshop).earliest("number")
    return {one.item: one.to_pack * number for one in items_of(kit)}


def packing(owner: User) -> dict[str, object]:
    """All pack the same kits, and there is too little for all kits; deliveries come in between."""
    workshop = make_workshop(owner, kits=KITS)
    needs = for_kits(workshop, 1)
    deliver(owner, for_kits(workshop, ENOUGH_FOR - 1))
    packers = [lambda seed=seed: pack_all(workshop, seed) for seed in range(AT_ONCE)]
    wrong = at_once(*packers, lambda: deliver(owner, needs))
    pack_all(workshop, 0)  # whoever came too early for the delivery finds it now
    moved = StockMovement.objects.filter(kind="packed", workshop=workshop)
    bags = [(m.kit.number, m.item.name, -m.change) for m in moved.select_related("kit", "item")]
    return {"wrong": wrong, "bags": bags, "needs": {item.name: amount for item, amount in needs.items()}}


def reserving(owner: User) -> dict[str, object]:
    """Workshops that together want more than there is set it aside at once, each of them twice."""
    workshops = [make_workshop(owner, kits=KITS, title=f"Club {number}") for number in range(3)]
    deliver(owner, for_kits(workshops[0], KITS + 3))
    wrong = at_once(*(lambda workshop=workshop: reserve(workshop, owner) for workshop in workshops * 2))
    return {"wrong": wrong}


def ledger() -> list[list[list[int]]]:
    """Number, change, set aside, and both balances of every movement, an item a list."""
    fields = ("number", "change", "reserve_change", "on_hand", "reserved")
    return [
        [list(row) for row in item.movements.order_by("number").values_list(*fields)]
        for item in StockItem.objects.order_by("pk")
    ]


if __name__ == "__main__":
    came = {
        "vendor": connection.vendor,
        "packing": packing(make_user("packer")),
        "reserving": reserving(make_user("planner")),
        "ledger": ledger(),
    }
    sys.stdout.write(json.dumps(came))
