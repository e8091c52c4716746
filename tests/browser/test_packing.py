"""Packing in a real browser: ticking by keyboard, one bag at a time, without losing one's place."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit, StockItem
from kits.services.packing import items_of
from kits.services.stock_counts import deliver
from kits.services.stock_ledger import balances
from tests.browser.test_pages import assert_sound
from tests.kits.factories import make_user, make_workshop

pytestmark = pytest.mark.django_db(transaction=True)

LIGHT = "Sew-on light, white"


@pytest.fixture
def kit(transactional_db: None) -> Kit:
    """The first of two kits; the cupboard holds enough for one."""
    workshop = make_workshop(make_user("ida"), kits=2)
    kit = Kit.objects.select_related("workshop__owner", "revision").get(workshop=workshop, number=1)
    deliver(workshop.owner, {one.item: one.to_pack for one in items_of(kit)})
    return kit


@pytest.fixture
def teacher(page: Page, live_server: LiveServer, kit: Kit) -> Page:
    page.goto(f"{live_server.url}/sign-in/")
    page.get_by_label("Username").fill("ida")
    page.get_by_label("Password").fill("ida-pass-word")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Today")).to_be_visible()
    return page


def on_hand(name: str) -> int:
    row = StockItem.objects.get(name=name)
    return balances([row])[row.pk].on_hand


def test_a_bag_is_packed_by_keyboard(teacher: Page, live_server: LiveServer, kit: Kit, complaints: list[str]) -> None:
    teacher.goto(f"{live_server.url}/workshops/{kit.workshop_id}/packing/")
    teacher.evaluate("window.same_page = true")
    bag, other = (
        teacher.locator("section.patch").filter(has=teacher.get_by_role("heading", name=f"Kit {n}")) for n in (1, 2)
    )
    light = bag.get_by_role("button", name=LIGHT)
    expect(light).to_have_attribute("aria-pressed", "false")
    light.focus()
    teacher.keyboard.press("Enter")
    expect(light).to_have_attribute("aria-pressed", "true")
    expect(light).to_be_focused()
    assert on_hand(LIGHT) == 0
    teacher.keyboard.press("Enter")
    expect(light).to_have_attribute("aria-pressed", "false")
    assert on_hand(LIGHT) == 1000
    bag.get_by_role("button", name="Pack all that is there").click()
    expect(bag.get_by_text("packed", exact=True)).to_be_visible()
    bag.get_by_role("button", name="Hand it out").click()
    expect(bag.get_by_text("handed out", exact=True)).to_be_visible()
    # The other bag finds out when it is asked for.
    other.get_by_role("button", name="Pack all that is there").click()
    expect(other.get_by_role("status")).to_contain_text("not enough in stock of")
    expect(other.get_by_text("parts missing", exact=True)).to_be_visible()
    assert teacher.evaluate("window.same_page") is True
    assert complaints == []


@pytest.mark.parametrize(
    "address", ["stock/", "stock/new/", "stock/{item}/", "shopping/", "workshops/{workshop}/packing/"]
)
def test_pages_are_sound(teacher: Page, live_server: LiveServer, kit: Kit, address: str) -> None:
    item = StockItem.objects.get(name=LIGHT).pk
    assert_sound(teacher, f"{live_server.url}/{address.format(item=item, workshop=kit.workshop_id)}")
