"""How many queries the pages take: the same however much they show."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.kits.factories import handed_in, make_project, make_user, make_workshop, teacher_client

pytestmark = pytest.mark.django_db


def queries(client: Client, name: str, *args: object) -> int:
    with CaptureQueriesContext(connection) as caught:
        assert client.get(reverse(name, args=args)).status_code == 200
    return len(caught)


def test_list_pages_take_the_same_queries_at_one_and_at_three_rows() -> None:
    owner = make_user("teacher")
    client = teacher_client(owner)
    workshop = make_workshop(owner, kits=1, names=("Ayo",))
    handed_in(workshop.kits.get())
    lists = [("kits:home", ()), ("kits:workshops", ()), ("projects:list", ()), ("kits:roster", (workshop.pk,))]
    lists += [("kits:codes", (workshop.pk,))]
    lists += [("kits:board", (workshop.pk,)), ("projects:page", (workshop.kits.get().revision.project.pk,))]
    one = {name: queries(client, name, *args) for name, args in lists}
    for number in (2, 3):
        make_project(owner)
        other = make_workshop(owner, kits=1, names=("Kaja",), title=f"Club {number}")
        handed_in(other.kits.get())
        revision = workshop.kits.first().revision
        client.post(reverse("kits:more-kits", args=[workshop.pk]), {"revision": revision.pk, "kits": 1})
        client.post(reverse("kits:roster", args=[workshop.pk]), {"names": f"Name {number}"})
        handed_in(workshop.kits.get(number=number))
        workshop.kits.first().revision.project.draft()
    client.get(reverse("kits:home"))  # the messages of the forms above are shown, and gone
    assert {name: queries(client, name, *args) for name, args in lists} == one


@pytest.mark.parametrize("size", [1, 40])
def test_the_board_takes_six_queries_however_large_the_class(size: int) -> None:
    owner = make_user("teacher")
    workshop = make_workshop(owner, kits=size, names=tuple(f"Name {n}" for n in range(size)))
    kits = [kit.pk for kit in workshop.kits.all()]
    client = teacher_client(owner)
    for data in ({"action": "give-example"}, {"action": "accept"}):
        client.post(reverse("kits:bulk", args=[workshop.pk]), {"kits": kits, **data})
    client.get(reverse("kits:home"))
    assert queries(client, "kits:board", workshop.pk) == 6


def test_a_poll_without_news_takes_one_query_beside_the_session() -> None:
    owner = make_user("teacher")
    workshop, teacher = make_workshop(owner), teacher_client(owner)
    address = reverse("kits:board-rows", args=[workshop.pk]) + "?since=None"
    with CaptureQueriesContext(connection) as caught:
        assert teacher.get(address).status_code == 204
    about = [
        query["sql"]
        for query in caught
        if "django_session" not in query["sql"] and 'auth_user" WHERE' not in query["sql"]
    ]
    assert len(about) == 1
