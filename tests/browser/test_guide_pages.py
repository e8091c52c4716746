"""The guide in a real browser, without signing in."""

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from tests.browser.test_pages import assert_sound

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("address", ["", "short/", "fold-touch/", "over-current/", "own-part-type/"])
def test_pages_are_sound(page: Page, live_server: LiveServer, address: str) -> None:
    assert_sound(page, f"{live_server.url}/guide/{address}")


def test_from_the_list_to_a_page_and_back_by_keyboard(page: Page, live_server: LiveServer) -> None:
    page.goto(f"{live_server.url}/guide/")
    page.get_by_role("link", name="Each light must be lit at some time.").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Each light must be lit at some time.")
    expect(page.locator("svg[data-piece]")).to_have_count(2)
    expect(page.locator("[data-mark=stop]")).to_have_count(2)
    page.get_by_role("link", name="All that the check looks at").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("What the check looks at")
