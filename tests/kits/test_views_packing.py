"""The packing page: bags by ticks, what is missing, spares, what all share."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from kits.models import Event, Kit, Workshop
from kits.services.packing_list import packing_list
from kits.services.stock_counts import deliver
from kits.supplies.items import MILLI, Item
from projects.circuit.project import Supply
from tests.kits.cupboard import LIGHT, kit_of, on_hand, page, stocked
from tests.kits.factories import lantern, make_user, make_workshop, teacher_client

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> User:
    return make_user("teacher")


@pytest.fixture
def workshop(owner: User) -> Workshop:
    return make_workshop(owner, kits=2, names=("Ayo",))


@pytest.fixture
def client(owner: User) -> Client:
    return teacher_client(owner)


# Stock


def tick(client: Client, one: Kit, **data: str) -> None:
    assert client.post(reverse("kits:kit-packing", args=[one.pk]), {"action": "pack", **data}).status_code == 302


def test_a_tick_packs_and_another_takes_it_out(client: Client, workshop: Workshop) -> None:
    stocked(workshop, 2)
    one = kit_of(workshop)
    tick(client, one, item=LIGHT.key)
    assert on_hand(LIGHT) == MILLI
    shown = page(client, "kits:packing", workshop.pk)
    assert f'name="out" value="{LIGHT.key}" aria-pressed="true"' in shown
    tick(client, one, out=LIGHT.key)
    assert on_hand(LIGHT) == 2 * MILLI
    tick(client, one, item="no-such-key")
    assert on_hand(LIGHT) == 2 * MILLI


def test_a_whole_bag_goes_in_out_and_comes_back_with_leftovers(client: Client, workshop: Workshop) -> None:
    stocked(workshop, 2)
    one = kit_of(workshop)
    tick(client, one, all="1")
    assert "1 packed" in page(client, "kits:packing", workshop.pk)
    tick(client, one, action="hand-out")
    assert "1 handed out" in page(client, "kits:packing", workshop.pk)
    tick(client, one, action="take-back")
    assert reverse("kits:leftovers", args=[one.pk]) in page(client, "kits:packing", workshop.pk)
    answer = client.post(reverse("kits:leftovers", args=[one.pk]), {LIGHT.key: "2"})
    assert answer.status_code == 400
    assert "only 1 went into this kit" in answer.content.decode()
    client.post(reverse("kits:leftovers", args=[one.pk]), {LIGHT.key: "1"})
    assert on_hand(LIGHT) == 2 * MILLI


def test_what_is_missing_is_told_and_marked(client: Client, workshop: Workshop) -> None:
    stocked(workshop, 1)
    tick(client, kit_of(workshop, 1))
    tick(client, kit_of(workshop, 2))
    shown = page(client, "kits:packing", workshop.pk)
    assert "Kit 2: not enough in stock of" in shown
    assert "1 with parts missing" in shown
    assert "not in stock" in shown


def test_htmx_gets_the_one_bag_with_what_there_is_to_say(client: Client, workshop: Workshop) -> None:
    one = kit_of(workshop)
    address = reverse("kits:kit-packing", args=[one.pk])
    answer = client.post(address, {"action": "pack", "item": LIGHT.key}, headers={"HX-Request": "true"})
    shown = answer.content.decode()
    assert f'id="pack-{one.pk}"' in shown
    assert "not enough in stock of Sew-on light, white" in shown
    assert "<html" not in shown
    assert f'id="pack-{kit_of(workshop, 2).pk}"' not in shown


def test_reserving_and_releasing_from_the_page(client: Client, workshop: Workshop) -> None:
    stocked(workshop, 1)
    address = reverse("kits:reserve", args=[workshop.pk])
    client.post(address, {"action": "reserve"})
    shown = page(client, "kits:packing", workshop.pk)
    assert "Reserved 6 kinds of things." in shown
    assert "Not enough in stock: " in shown
    assert "Release what is reserved" in shown
    client.post(address, {"action": "release"})
    assert "Release what is reserved" not in page(client, "kits:packing", workshop.pk)


def test_what_all_share_is_set_out(client: Client, owner: User, workshop: Workshop) -> None:
    glue = Item("supply", "", "glue", "bottle")
    own = lantern()
    supply = Supply(name="glue", unit="bottle", per="workshop")
    own = own.model_copy(update={"project": own.project.model_copy(update={"supplies": (supply,)})})
    Kit.objects.update(document=own.model_dump(mode="json"))
    address = reverse("kits:set-out", args=[workshop.pk])
    client.post(address, {"item": glue.key})
    assert "there are only 0 bottle" in page(client, "kits:packing", workshop.pk)
    deliver(owner, {glue: MILLI})
    client.post(address, {"item": glue.key})
    assert packing_list(workshop).shared[0].done
    assert "set out" in page(client, "kits:packing", workshop.pk)


# Spares


def test_a_spare_is_given_from_the_kits_page(client: Client, workshop: Workshop) -> None:
    stocked(workshop, 2)
    one = kit_of(workshop)
    assert reverse("kits:spare", args=[one.pk]) in page(client, "kits:kit", one.pk)
    data = {"spare-item": LIGHT.key, "spare-amount": "1", "spare-reason": "Lost its rim."}
    answer = client.post(reverse("kits:spare", args=[one.pk]), data)
    assert answer["Location"] == reverse("kits:kit", args=[one.pk])
    assert "1 × Sew-on light, white: Lost its rim." in page(client, "kits:kit", one.pk)
    assert on_hand(LIGHT) == MILLI
    for amount in ("0", "1.5", "7"):
        answer = client.post(reverse("kits:spare", args=[one.pk]), {**data, "spare-amount": amount})
        assert answer.status_code == 400
    assert Event.objects.filter(kind=Event.Kind.SPARE_GIVEN).count() == 1


def test_a_helper_sees_no_spares_to_give(workshop: Workshop) -> None:
    helper = make_user("helper")
    workshop.helpers.add(helper)
    one = kit_of(workshop)
    assert reverse("kits:spare", args=[one.pk]) not in page(teacher_client(helper), "kits:kit", one.pk)


# How many queries
