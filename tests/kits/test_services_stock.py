"""Stock: what each use case does to the ledger, and that nothing goes below nothing."""

from __future__ import annotations

import datetime

import pytest
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction

from kits.models import StockItem, StockMovement, StockOffer, Workshop
from kits.services.access import Person
from kits.services.layouts import NotNow
from kits.services.packing import items_of, pack
from kits.services.reserve import release, reserve
from kits.services.stock_counts import correct, deliver, lose, new_item
from kits.services.stock_ledger import Balance, write
from kits.services.stock_list import shopping_for, stock_list
from kits.supplies.items import MILLI
from projects.models import Frozen
from tests.kits.cupboard import FELT, LIGHT, SWITCH, kit_of, stocked, there
from tests.kits.factories import make_user, make_workshop

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> User:
    return make_user("teacher")


@pytest.fixture
def workshop(owner: User) -> Workshop:
    return make_workshop(owner, kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def person(owner: User) -> Person:
    return Person(user=owner)


def test_every_movement_keeps_the_balance_and_its_number(owner: User) -> None:
    deliver(owner, {LIGHT: 10 * MILLI})
    correct(owner, LIGHT, 8 * MILLI, "Counted again.")
    lose(owner, LIGHT, 1 * MILLI, "Broken.")
    rows = StockMovement.objects.values_list("number", "kind", "change", "on_hand", "reason")
    assert list(rows) == [
        (1, "delivered", 10_000, 10_000, ""),
        (2, "corrected", -2_000, 8_000, "Counted again."),
        (3, "lost", -1_000, 7_000, "Broken."),
    ]


def test_a_movement_is_written_once(owner: User) -> None:
    deliver(owner, {LIGHT: MILLI})
    movement = StockMovement.objects.get()
    with pytest.raises(Frozen):
        movement.save()
    with pytest.raises(Frozen):
        StockMovement.objects.update(change=5)


@pytest.mark.parametrize(
    ("before", "change", "reserve_change"),
    [(Balance(), -1, 0), (Balance(), 0, 1), (Balance(), 0, -1), (Balance(2, 2, 0), -1, 0)],
)
def test_the_database_itself_refuses_less_than_nothing(
    owner: User, before: Balance, change: int, reserve_change: int
) -> None:
    row = new_item(owner, LIGHT)
    with pytest.raises(IntegrityError), transaction.atomic():
        write(row, StockMovement.Kind.PACKED, before=before, change=change, reserve_change=reserve_change)


def test_the_database_itself_refuses_two_movements_from_one_balance(owner: User) -> None:
    row = new_item(owner, LIGHT)
    write(row, StockMovement.Kind.DELIVERED, before=Balance(), change=5)
    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        write(row, StockMovement.Kind.DELIVERED, before=Balance(), change=5)


def test_the_database_itself_refuses_a_correction_without_a_reason(owner: User) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        correct(owner, LIGHT, MILLI, "")


def test_each_teacher_has_a_cupboard_of_their_own(owner: User) -> None:
    other = make_user("other")
    deliver(owner, {LIGHT: MILLI})
    deliver(other, {LIGHT: 7 * MILLI})
    assert there(owner, LIGHT) == (1, 0)
    assert there(other, LIGHT) == (7, 0)


def test_a_workshop_sets_aside_what_it_needs_with_spares_as_far_as_there_is(owner: User, workshop: Workshop) -> None:
    deliver(owner, {LIGHT: 20 * MILLI, SWITCH: 2 * MILLI})
    done = reserve(workshop, owner)
    # Three kits of one light each, and one spare: P(at least 3 good of 4) at 2 % lost is over 0.95, of 3 it is not.
    assert there(owner, LIGHT) == (20, 4)
    assert there(owner, SWITCH) == (2, 2)
    assert done.short[SWITCH] == 2 * MILLI
    assert LIGHT not in done.short
    assert reserve(workshop, owner).reserved == {}  # nothing twice
    assert there(owner, LIGHT) == (20, 4)


def test_what_one_workshop_reserved_another_cannot_take(owner: User, workshop: Workshop, person: Person) -> None:
    other = make_workshop(owner, kits=3, title="Monday club")
    stocked(workshop, 4)
    reserve(workshop, owner)
    before = there(owner, LIGHT)
    assert LIGHT in pack(kit_of(other), person).short
    assert reserve(other, owner).reserved.get(LIGHT, 0) == before[0] * MILLI - before[1] * MILLI
    assert pack(kit_of(workshop), person).short == ()


def test_releasing_frees_all_of_it(owner: User, workshop: Workshop) -> None:
    stocked(workshop, 4)
    reserve(workshop, owner)
    assert release(workshop, owner) == len(items_of(kit_of(workshop)))
    assert there(owner, LIGHT)[1] == 0
    assert release(workshop, owner) == 0


def test_less_than_is_reserved_cannot_be_counted_or_left(owner: User, workshop: Workshop) -> None:
    deliver(owner, {LIGHT: 4 * MILLI})
    reserve(workshop, owner)
    with pytest.raises(NotNow, match="4 are reserved"):
        correct(owner, LIGHT, 3 * MILLI, "Counted.")
    with pytest.raises(NotNow, match="4 are reserved"):
        lose(owner, LIGHT, MILLI, "Gone.")
    with pytest.raises(NotNow, match="only 4 here"):
        lose(owner, LIGHT, 5 * MILLI, "Gone.")
    assert there(owner, LIGHT) == (4, 4)


def test_deleting_a_workshop_frees_its_stock_and_keeps_the_ledger(
    owner: User, workshop: Workshop, person: Person
) -> None:
    stocked(workshop, 4)
    reserve(workshop, owner)
    pack(kit_of(workshop), person)
    moved = StockMovement.objects.count()
    Workshop.objects.filter(pk=workshop.pk).delete()
    assert there(owner, LIGHT) == (3, 0)
    assert StockMovement.objects.count() > moved
    assert not StockMovement.objects.exclude(workshop=None, kit=None).exists()


def test_deleting_the_teacher_takes_the_cupboard_along(owner: User, workshop: Workshop) -> None:
    stocked(workshop, 4)
    reserve(workshop, owner)
    workshop.delete()
    owner.projects.all().delete()
    owner.delete()
    assert not StockItem.objects.exists()
    assert not StockMovement.objects.exists()


def test_shopping_buys_what_is_short_at_least_cost(owner: User, workshop: Workshop) -> None:
    rows = {row.want.item: row for row in shopping_for(owner, [workshop]).rows}
    light = rows[LIGHT]
    assert (light.want.wanted, light.want.short) == (4 * MILLI, 4 * MILLI)
    assert light.basket is not None
    assert [(bought.offer.size, bought.packs) for bought in light.basket.bought] == [(10 * MILLI, 1)]
    # The teacher's own packs count instead of the project's: two of two with tax at 1.20 beat five at 3.
    row = new_item(owner, LIGHT)
    for size, price in ((2, "1.00"), (5, "3.00")):
        StockOffer.objects.create(item=row, size=size, price=price, tax_percent=20)
    deliver(owner, {LIGHT: MILLI})
    again = {row.want.item: row for row in shopping_for(owner, [workshop]).rows}[LIGHT]
    assert again.want.short == 3 * MILLI
    assert again.basket is not None
    assert [(bought.offer.size, bought.packs) for bought in again.basket.bought] == [(2 * MILLI, 2)]
    assert again.basket.cost == 2_400_000


def test_what_others_reserved_is_not_at_hand(owner: User, workshop: Workshop) -> None:
    other = make_workshop(owner, kits=3, title="Monday club")
    deliver(owner, {LIGHT: 4 * MILLI})
    reserve(workshop, owner)

    def short(*workshops: Workshop) -> int:
        wants = [row.want for row in shopping_for(owner, list(workshops)).rows if row.want.item == LIGHT]
        return sum(want.short for want in wants) // MILLI

    assert (short(workshop), short(other), short(workshop, other)) == (0, 4, 4)


def test_the_stock_page_counts_the_workshops_to_come_alone(owner: User, workshop: Workshop) -> None:
    assert {row.item: row.to_buy // MILLI for row in stock_list(owner)}[LIGHT] == 4
    workshop.sessions.update(date=datetime.date(2020, 1, 1))
    assert stock_list(owner) == []
    deliver(owner, {FELT: 2 * MILLI})
    assert [(row.item, row.balance.free, row.to_buy) for row in stock_list(owner)] == [(FELT, 2 * MILLI, 0)]
