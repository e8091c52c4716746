"""Every page of a teacher, at one workshop on the site and at a thousand; prints seconds and queries as JSON.

A program for `many_workshops`, run with the database that `DATABASE_URL` names.
"""

from __future__ import annotations

import json
from time import perf_counter

import django

django.setup()

from django.conf import settings  # noqa: E402
from django.contrib.auth.models import User  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402

from kits.models import Workshop  # noqa: E402
from kits.services.accept_sound import accept_sound  # noqa: E402
from kits.services.access import Person  # noqa: E402
from kits.services.give_example import give_example  # noqa: E402
from kits.services.stage_ticks import tick_stage  # noqa: E402
from tests.kits.factories import make_user, make_workshop  # noqa: E402
from tests.kits.test_rights import CAST, TABLE, World, make_world  # noqa: E402

WORKSHOPS = 1000
TEACHERS = 50
TIMES = 15

Figures = dict[str, tuple[float, int]]


def main() -> None:
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, "testserver"]
    world = make_world()
    client, addresses = world.clients["teacher"], _pages(world)
    alone = _figures(client, addresses)
    teachers = [make_user(f"teacher-{number}") for number in range(TEACHERS)]
    for number in range(WORKSHOPS - Workshop.objects.count()):
        _class(teachers[number % TEACHERS], f"Class {number}")
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")  # as the server's own housekeeping would have done long before
    print(json.dumps({"workshops": Workshop.objects.count(), "alone": alone, "among": _figures(client, addresses)}))


def _pages(world: World) -> dict[str, str]:
    """Address by name of each page of HTML that the teacher may open."""
    teacher = CAST.index("teacher")
    names = [name for name, (get, _post) in TABLE.items() if get.split()[teacher] == "200"]
    addresses = {name: world.address(name) for name in names}
    client = world.clients["teacher"]
    return {
        name: address
        for name, address in addresses.items()
        if client.get(address).headers.get("Content-Type", "").startswith("text/html")
    }


def _class(owner: User, title: str) -> None:
    """A class of four in the middle of sewing."""
    workshop = make_workshop(owner, kits=4, names=("Ayo", "Kaja", "Lior", "Mina"), title=title)
    person, kits = Person(user=owner), list(workshop.kits.all())
    give_example(workshop, kits, person)
    accept_sound(workshop, kits, person)
    for kit in workshop.kits.all():
        for row in kit.stages[:2]:
            tick_stage(kit, row["name"], person)


def _figures(client: Client, addresses: dict[str, str]) -> Figures:
    return {name: (_seconds(client, address), _queries(client, address)) for name, address in addresses.items()}


def _seconds(client: Client, address: str) -> float:
    """The best of several: other work on the machine can only add to it."""
    taken = []
    for _ in range(TIMES):
        start = perf_counter()
        client.get(address)
        taken.append(perf_counter() - start)
    return min(taken)


def _queries(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as caught:
        client.get(address)
    return len(caught)


if __name__ == "__main__":  # `make bench` looks into every module here
    main()
