"""Every page of a teacher, at one workshop on the site and at a thousand; prints seconds and queries as JSON.

A program for `many_workshops`, run with the database that `DATABASE_URL` names.
"""

from __future__ import annotations

import json
from functools import partial

import django

django.setup()

from django.conf import settings  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402

from kits.models import Workshop  # noqa: E402
from tests.bench.board import sewing_class  # noqa: E402
from tests.bench.measure import queries_of, seconds_of  # noqa: E402
from tests.kits.factories import make_user  # noqa: E402
from tests.kits.rights import CAST, TABLE, World, make_world  # noqa: E402

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
        sewing_class(teachers[number % TEACHERS], 4)
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


def _figures(client: Client, addresses: dict[str, str]) -> Figures:
    """Seconds and queries by name; the best time of several, as other work on the machine can only add to it."""
    found = {}
    for name, address in addresses.items():
        ask = partial(client.get, address)
        found[name] = (min(seconds_of(ask) for _ in range(TIMES)), queries_of(ask))
    return found


if __name__ == "__main__":  # `make bench` looks into every module here
    main()
