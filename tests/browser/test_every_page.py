"""Every page of the site through axe, found in the list of addresses: a new page is looked at without being named here.

Pages as the demo's people see them, in all their states, are walked in `test_accessibility`.
"""

from __future__ import annotations

import pytest
from django.http import HttpResponse
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from tests.browser.test_accessibility import barriers, settled, signed_in
from tests.kits.rights import World, make_world, parameters

pytestmark = pytest.mark.django_db(transaction=True)

WHO = ("teacher", "learner", "nobody")  # each page as the first of these who is shown it
# Nobody in this class sews yet; learners who do come to these in `test_accessibility`.
ONLY_WHILE_SEWING = {"kits:my-sewing", "kits:my-otherwise"}


@pytest.fixture
def world(transactional_db: None) -> World:
    return make_world()


def is_page(answer: HttpResponse) -> bool:
    """A whole page: not a file, nor a piece that another page loads into itself."""
    return answer.headers.get("Content-Type", "").startswith("text/html") and b"<html" in b"".join(answer)


def test_every_page_in_the_list_of_addresses_has_no_barrier(page: Page, live_server: LiveServer, world: World) -> None:
    """What no page can be fetched of must be a form's target, a file, or a piece of a page."""
    found, unseen = [], set()
    for name in parameters():
        answers = {who: world.clients[who].get(world.address(name)) for who in WHO}
        shown = [who for who, answer in answers.items() if answer.status_code == 200 and is_page(answer)]
        if shown:
            signed_in(page, live_server, world.clients[shown[0]])
            page.goto(live_server.url + world.address(name))
            settled(page)
            found += [f"{name} {barrier}" for barrier in barriers(page)]
        elif all(answer.status_code in (302, 404) for answer in answers.values()):
            unseen.add(name)
    assert found == [], "\n".join(found)
    assert unseen == ONLY_WHILE_SEWING
