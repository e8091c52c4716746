"""Who may do what: each cell of the table in `rights.py`, asserted on real objects.

An address without a row fails, and so does a row without an address.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.contrib.admin.sites import site as admin_site
from django.test import Client
from django.urls import get_resolver, reverse
from django.utils import timezone

from kits.models import Kit
from kits.services.states import state_of_kit
from tests.kits.factories import (
    make_user,
    sewing,
    teacher_client,
)
from tests.kits.rights import CAST, DATA, EVERYONE_405, TABLE, World, make_world, parameters, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> World:
    return make_world()


def test_every_address_has_a_row_and_every_row_an_address() -> None:
    names = [name for name, _ in walk(get_resolver().url_patterns)]
    assert sorted(names) == sorted(TABLE)


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize("name", TABLE)
def test_everyone_gets_what_the_table_says(world: World, name: str, method: str) -> None:
    address, row = world.address(name), TABLE[name][method == "POST"]
    got = {}
    for who in CAST:  # the teacher last: what they do may change what others find
        client = world.clients[who]
        response = client.get(address) if method == "GET" else client.post(address, DATA.get(name, {}))
        got[who] = response.status_code
    assert got == dict(zip(CAST, map(int, row.split()), strict=True))


@pytest.mark.parametrize("name", [name for name in TABLE if "_id" in str(parameters()[name])])
def test_what_does_not_exist_looks_like_what_is_not_theirs(world: World, name: str) -> None:
    address = world.address(name)
    missing = reverse(name, kwargs={key: 987_654 for key in parameters()[name]})
    for who in ("nobody", "other learner", "other teacher"):
        client = world.clients[who]
        theirs, gone = client.post(address, DATA.get(name, {})), client.post(missing, DATA.get(name, {}))
        assert (theirs.status_code, theirs.content) == (gone.status_code, gone.content)
        theirs, gone = client.get(address), client.get(missing)
        assert (theirs.status_code, theirs.content) == (gone.status_code, gone.content)


def test_forms_of_another_site_are_refused(world: World) -> None:
    """Cross-site request forgery: without the token nothing is done, whoever's cookies come along."""
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = world.clients["teacher"].cookies
    for name in TABLE:
        if TABLE[name][1] != EVERYONE_405:
            assert strict.post(world.address(name), DATA.get(name, {})).status_code == 403, name


def test_the_administration_is_closed_to_everyone_here(world: World) -> None:
    indexes = [
        "admin:index",
        *(f"admin:{m._meta.app_label}_{m._meta.model_name}_changelist" for m in admin_site._registry),
    ]
    for who in CAST:
        for name in indexes:
            for method in ("get", "post"):
                response = getattr(world.clients[who], method)(reverse(name))
                assert response.status_code == 302
                assert response["Location"].startswith(reverse("admin:login"))


def test_a_helper_gives_looks_and_nothing_else(world: World) -> None:
    """Of one address that does several things, each is asserted."""
    helper, address = world.clients["helper"], world.address("kits:kit-stage")
    assert helper.post(address, {"action": "sign-off", "stage": "mark"}).status_code == 302
    assert helper.post(address, {"action": "send-back", "stage": "mark", "reason": "Loose."}).status_code == 302
    for action in ("tick", "untick", ""):
        assert helper.post(address, {"action": action, "stage": "mark"}).status_code == 404


COVER_MAY_TOO = {
    ("kits:class-today", "GET"): 200,
    ("kits:tool-count", "GET"): 200,
    ("kits:tool-sheet", "GET"): 200,
    ("kits:count-tools", "POST"): 302,
    ("kits:close-tools", "POST"): 302,
    ("kits:attendance", "POST"): 302,
    ("kits:bulk", "POST"): 302,
    ("kits:kit-stage", "POST"): 302,
}


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize("days", [-1, 0, 1])
def test_a_cover_teacher_is_a_helper_who_counts_on_that_day_and_nobody_on_any_other(
    world: World, days: int, method: str
) -> None:
    """Every address, on the day, the day before it and the day after it."""
    cover = make_user("cover")
    world.workshop.covers.create(user=cover, day=timezone.localdate() + timedelta(days=days))
    client = teacher_client(cover)
    expected, got = {}, {}
    for name, row in TABLE.items():
        if name in ("kits:sign-out", "kits:leave"):  # these would end the browser's session
            continue
        codes = dict(zip(CAST, map(int, row[method == "POST"].split()), strict=True))
        as_helper = COVER_MAY_TOO.get((name, method), codes["helper"])
        expected[name] = as_helper if days == 0 else codes["other teacher"]
        address = world.address(name)
        got[name] = getattr(client, method.lower())(address, DATA.get(name, {})).status_code
    assert got == expected


def test_a_cover_teacher_ticks_a_stage_for_a_whole_table(world: World) -> None:
    """Paper mode: the class board is theirs for the day."""
    kit = sewing(world.kit)
    Kit.objects.filter(pk=kit.pk).update(table="window")
    cover = make_user("cover")
    client, board = teacher_client(cover), reverse("kits:board", args=[world.workshop.pk])
    tick = {"action": "tick-stage", "stage": "mark", "of_table": "window"}
    assert client.post(world.address("kits:bulk"), tick).status_code == 404
    world.workshop.covers.create(user=cover, day=timezone.localdate())
    shown = client.get(board).content.decode()
    assert 'value="tick-stage"' in shown
    assert f'id="kit-{kit.pk}"' in shown
    assert "Sign all tablets out" not in shown
    assert "Stage ticked for kit" in client.post(world.address("kits:bulk"), tick, follow=True).content.decode()
    assert "mark" in state_of_kit(kit).done
    page = client.get(reverse("kits:kit", args=[kit.pk])).content.decode()
    assert 'value="untick"' in page
    client.post(world.address("kits:kit-stage"), {"action": "untick", "stage": "mark"})
    assert "mark" not in state_of_kit(kit).done


def test_a_cover_teacher_counts_only_the_tools_of_today(world: World) -> None:
    cover = make_user("cover")
    today = timezone.localdate()
    world.workshop.covers.create(user=cover, day=today)
    other = world.workshop.sessions.create(date=today + timedelta(days=7), minutes=90)
    assert teacher_client(cover).get(reverse("kits:tool-count", args=[other.pk])).status_code == 404


def test_a_replaced_code_ends_what_it_opened(world: World) -> None:
    assert world.clients["learner"].get(reverse("kits:my-kit")).status_code == 200
    world.clients["teacher"].post(world.address("kits:new-code"))
    assert world.clients["learner"].get(reverse("kits:my-kit")).status_code == 302


def test_a_learner_taken_off_a_kit_is_out(world: World) -> None:
    world.kit.learners.clear()
    assert world.clients["learner"].get(reverse("kits:my-kit")).status_code == 302
