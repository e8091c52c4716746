"""What the check says beside the drawing and on it, linked both ways; and a hand-in that waits in kind words."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import drag, open_plan, point, saved, sign_in, tool
from tests.kits.factories import with_layout
from tests.kits.test_services_layouts import beneath

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def with_a_stop(kit: Kit) -> Kit:
    return with_layout(kit, beneath())


def test_a_finding_leads_to_its_mark_and_a_mark_to_its_finding(
    page: Page, live_server: LiveServer, with_a_stop: Kit
) -> None:
    sign_in(page, live_server, with_a_stop)
    open_plan(page, live_server, with_a_stop)
    first = page.locator(".finding-stop").first
    number = first.get_attribute("data-finding")
    mark = page.locator(f"svg .mark[data-finding='{number}']").first
    expect(mark).not_to_have_class(re.compile("pointed"))
    first.locator("p").first.click()
    expect(mark).to_have_class(re.compile("pointed"))
    expect(first).to_have_class(re.compile("pointed-at"))
    other = page.locator("svg .mark").last
    box = other.locator(".mark-ring").bounding_box()
    assert box
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    far = other.get_attribute("data-finding")
    expect(page.locator(f"[data-of-page=findings] [data-finding='{far}'] button").first).to_be_focused()


def test_a_finding_off_the_screen_is_brought_into_view(page: Page, live_server: LiveServer, with_a_stop: Kit) -> None:
    sign_in(page, live_server, with_a_stop)
    open_plan(page, live_server, with_a_stop)
    number = page.locator(".finding-stop").first.get_attribute("data-finding")
    page.mouse.move(*point(page, 150, 110))
    page.mouse.wheel(0, -1500)
    expect(page.locator("svg.fabric.closer")).to_be_visible()
    spot = page.locator(f"svg .mark[data-finding='{number}'] .mark-spot").first
    frame = page.locator("[data-of-page=frame]").bounding_box()
    assert frame

    def in_view() -> bool:
        box = spot.bounding_box()
        return bool(box) and frame["x"] <= box["x"] <= frame["x"] + frame["width"]

    assert not in_view()
    page.get_by_role("button", name=f"Show {number} on the cloth").click()
    assert in_view()


def test_findings_follow_each_change_by_themselves(page: Page, live_server: LiveServer, laid_out: Kit) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    expect(page.locator("svg .mark-stop")).to_have_count(0)
    drag(page, (110, 30), (157.5, 30))  # off the edge of the cloth
    expect(page.locator("svg .mark-stop").first).to_be_visible()
    expect(page.locator("[data-of-page=news]")).to_have_text(re.compile(r"^Check: [1-9]\d* to put right"))
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("svg .mark-stop")).to_have_count(0)


def test_the_hand_in_waits_and_says_why(page: Page, live_server: LiveServer, with_a_stop: Kit) -> None:
    sign_in(page, live_server, with_a_stop)
    open_plan(page, live_server, with_a_stop)
    button = page.get_by_role("button", name="Hand in my plan")
    expect(button).to_have_attribute("aria-disabled", "true")
    expect(button).to_have_accessible_description(re.compile("first"))
    button.click(force=True)  # it can be pressed, and then leads to what comes first
    expect(page.locator(".finding-stop button").first).to_be_focused()
    assert not with_a_stop.submissions.exists()
    with_layout(with_a_stop)
    page.reload()
    page.wait_for_selector("[data-ready]")
    expect(button).to_have_attribute("aria-disabled", "false")
    button.click()
    page.wait_for_url("**/my-kit/")
    assert with_a_stop.submissions.count() == 1


def test_the_wheel_looks_closer_where_it_points_and_the_cloth_is_dragged_about(
    page: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    here = point(page, 75, 75)
    page.mouse.move(*here)
    page.mouse.wheel(0, -700)
    expect(page.locator("svg.fabric.closer")).to_be_visible()
    assert point(page, 75, 75) == pytest.approx(here, abs=1)
    page.mouse.down()  # on the cloth, where nothing lies
    page.mouse.move(here[0] + 60, here[1] + 40, steps=3)
    page.mouse.up()
    assert point(page, 75, 75) == pytest.approx((here[0] + 60, here[1] + 40), abs=1)
    tool(page, "Fit")
    assert point(page, 75, 75) == pytest.approx(here, abs=1)
    saved(page)
    laid_out.refresh_from_db()
    assert laid_out.layout_version == 1
