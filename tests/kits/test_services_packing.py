"""Packing: what goes into each bag, comes back, is given as a spare or set out for all."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User

from kits.models import Event, Kit, StockItem, StockMovement, Workshop
from kits.services.access import Person
from kits.services.give_spare import give_spare
from kits.services.layouts import NotNow
from kits.services.packing import hand_out, items_of, pack, put_back, set_out, take_back, unpack
from kits.services.packing_list import KitPacking, packing_list
from kits.services.reserve import reserve
from kits.services.stock_counts import correct, deliver
from kits.services.stock_ledger import balances
from kits.supplies.items import MILLI, Item
from projects.circuit.project import Supply
from tests.kits.cupboard import LIGHT, SWITCH, kit_of, stocked, there
from tests.kits.factories import lantern, make_user, make_workshop, with_layout

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


def on_list(workshop: Workshop, number: int = 1) -> KitPacking:
    return next(row for row in packing_list(workshop).kits if row.kit.number == number)


def test_packing_takes_from_what_is_set_aside_first(owner: User, workshop: Workshop, person: Person) -> None:
    stocked(workshop, 4)
    reserve(workshop, owner)
    assert pack(kit_of(workshop), person).short == ()
    assert there(owner, LIGHT) == (3, 3)
    assert on_list(workshop).state == "packed"
    assert pack(kit_of(workshop), person).packed == ()  # again: nothing twice
    assert there(owner, LIGHT) == (3, 3)
    assert [event.kind for event in kit_of(workshop).events.all()] == [Event.Kind.PACKED]


def test_packing_goes_by_each_learners_own_layout(owner: User, workshop: Workshop, person: Person) -> None:
    own = lantern().layout
    with_layout(kit_of(workshop, 2), own.model_copy(update={"lines": own.lines[:2]}))
    thread = {
        number: next(one for one in items_of(kit_of(workshop, number)) if one.item.kind == "thread")
        for number in (1, 2)
    }
    assert thread[2].needed < thread[1].needed
    stocked(workshop, 3)
    for number in (1, 2):
        pack(kit_of(workshop, number), person)
    moved = StockMovement.objects.filter(kind="packed", item__kind="thread").order_by("pk")
    assert [-movement.change for movement in moved] == [thread[1].to_pack, thread[2].to_pack]


def test_a_longer_plan_needs_more_thread_than_was_packed(owner: User, workshop: Workshop, person: Person) -> None:
    own = lantern().layout
    short = with_layout(kit_of(workshop), own.model_copy(update={"lines": own.lines[:1]}))
    stocked(workshop, 9)
    pack(kit_of(workshop), person)
    assert on_list(workshop).state == "packed"
    with_layout(short, own)
    listed = on_list(workshop)
    assert [one.need.item.kind for one in listed.missing] == ["thread"]
    assert listed.state == "to-pack"


def test_a_single_tick_and_taking_it_back(owner: User, workshop: Workshop, person: Person) -> None:
    stocked(workshop, 1)
    reserve(workshop, owner)
    pack(kit_of(workshop), person, [LIGHT])
    assert {one.need.item for one in on_list(workshop).materials if one.done} == {LIGHT}
    unpack(kit_of(workshop), person, [LIGHT])
    assert there(owner, LIGHT) == (1, 1)  # it stays set aside
    unpack(kit_of(workshop), person, [LIGHT])
    assert there(owner, LIGHT) == (1, 1)
    assert not any(one.done for one in on_list(workshop).materials)


def test_what_is_not_there_is_missing_and_the_rest_is_packed(owner: User, workshop: Workshop, person: Person) -> None:
    stocked(workshop, 1)
    correct(owner, LIGHT, 0, "None left.")
    came = pack(kit_of(workshop), person)
    assert came.short == (LIGHT,)
    listed = on_list(workshop)
    assert listed.state == "missing"
    assert [one.need.item for one in listed.missing] == [LIGHT]


def test_a_kit_goes_out_and_comes_back(owner: User, workshop: Workshop, person: Person) -> None:
    stocked(workshop, 1)
    assert on_list(workshop).state == "to-pack"
    assert on_list(workshop, 2).state == "to-pack"
    pack(kit_of(workshop), person)
    assert on_list(workshop, 2).state == "missing"
    hand_out(kit_of(workshop), person)
    assert on_list(workshop).state == "handed-out"
    take_back(kit_of(workshop), person)
    assert on_list(workshop).state == "returned"
    kinds = [event.kind for event in kit_of(workshop).events.all()]
    assert kinds == [Event.Kind.PACKED, Event.Kind.HANDED_OUT, Event.Kind.TAKEN_BACK]


def test_a_spare_moves_out_of_stock_and_stands_in_the_kits_record(
    owner: User, workshop: Workshop, person: Person
) -> None:
    stocked(workshop, 4)
    reserve(workshop, owner)
    pack(kit_of(workshop), person)
    give_spare(kit_of(workshop), person, LIGHT, MILLI, "Its rim came off.")
    assert there(owner, LIGHT) == (2, 2)
    event = kit_of(workshop).events.get(kind=Event.Kind.SPARE_GIVEN)
    assert event.remark.text == "1 × Sew-on light, white: Its rim came off."
    assert on_list(workshop).state == "packed"
    # One spare less is still needed; what the kits need is as before.
    need = next(need for need in packing_list(workshop).needs if need.item == LIGHT)
    assert (need.kits_left, need.spare_left) == (2 * MILLI, 0)


def test_more_than_there_is_cannot_be_given(owner: User, workshop: Workshop, person: Person) -> None:
    with pytest.raises(NotNow, match="only 0 can be given"):
        give_spare(kit_of(workshop), person, LIGHT, MILLI, "")
    assert not kit_of(workshop).events.exists()


def test_leftovers_go_back_free_for_any_workshop(owner: User, workshop: Workshop, person: Person) -> None:
    stocked(workshop, 4)
    reserve(workshop, owner)
    pack(kit_of(workshop), person)
    give_spare(kit_of(workshop), person, LIGHT, MILLI, "")
    put_back(kit_of(workshop), person, {LIGHT: MILLI, SWITCH: 0})
    assert there(owner, LIGHT) == (3, 2)
    with pytest.raises(NotNow, match="only 1 went"):
        put_back(kit_of(workshop), person, {LIGHT: 2 * MILLI})
    assert there(owner, LIGHT) == (3, 2)


def test_what_all_share_is_set_out_once(owner: User, person: Person) -> None:
    glue = Supply(name="glue", amount=0.5, unit="bottle", per="workshop")
    workshop = make_workshop(owner, kits=2)
    own = lantern()
    own = own.model_copy(update={"project": own.project.model_copy(update={"supplies": (glue,)})})
    Kit.objects.update(document=own.model_dump(mode="json"))
    item = Item("supply", "", "glue", "bottle")
    with pytest.raises(NotNow, match="there are only 0 bottle"):
        set_out(workshop, owner, item)
    deliver(owner, {item: MILLI})
    for _again in range(2):
        set_out(workshop, owner, item)
    assert [(row.item, row.done) for row in packing_list(workshop).shared] == [(item, True)]
    row = StockItem.objects.get(name="glue")
    assert balances([row])[row.pk].on_hand == MILLI // 2
