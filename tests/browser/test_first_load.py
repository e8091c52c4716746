"""What a learner's pages bring over a slow network: little beyond the static files, and nothing from elsewhere."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, Response
from pytest_django.live_server_helper import LiveServer

from kits.demo.examples import examples
from kits.models import Kit
from projects.stored import layout_json
from tests.browser.plan_page import sign_in
from tests.browser.test_layout_demo import kit_of

pytestmark = pytest.mark.django_db(transaction=True)

MOST_BYTES = 200_000
MOST_SCRIPT_BYTES = 120_000  # the layout page's own scripts, before they are packed for the way


@pytest.fixture
def firefly() -> Kit:
    """A kit with the largest layout of the demo."""
    document = examples()["firefly-jar"]
    kit = kit_of(document)
    kit.layout = layout_json(document.layout)
    kit.layout_version = 1
    kit.save()
    return kit


def test_a_first_load_is_small_and_asks_nobody_else(page: Page, live_server: LiveServer, firefly: Kit) -> None:
    sign_in(page, live_server, firefly)
    for address in ("/my-kit/", f"/kits/{firefly.pk}/layout/"):
        loaded: list[Response] = []
        noted = lambda answer, loaded=loaded: loaded.append(answer)  # noqa: E731
        page.on("response", noted)
        page.goto(f"{live_server.url}{address}")
        page.wait_for_load_state("networkidle")
        page.remove_listener("response", noted)
        assert {urlsplit(one.url).netloc for one in loaded} == {urlsplit(live_server.url).netloc}
        own = [one for one in loaded if not urlsplit(one.url).path.startswith("/static/")]
        assert own
        assert sum(len(one.body()) for one in own if one.ok) <= MOST_BYTES, address
    scripts = [one for one in loaded if "/kits/layout/" in urlsplit(one.url).path and one.url.endswith(".js")]
    assert len(scripts) > 10
    assert sum(len(one.body()) for one in scripts) <= MOST_SCRIPT_BYTES
