"""The layout page under fingers: on a phone, two fingers, and from the tray on to the cloth."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import chosen, finger, layout_of, open_plan, place_of, point, saved, sign_in

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 360, "height": 640}, has_touch=True, is_mobile=True)
    yield context.new_page()
    context.close()


def test_a_phone_shows_it_all_without_scrolling_sideways_and_fingers_draw(
    phone: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    page = phone
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.locator("main button:visible, main summary:visible").evaluate_all(
        "all => all.filter(one => one.getBoundingClientRect().height < 44).map(one => one.textContent.trim())"
    )
    assert small == []
    finger(page, point(page, 110, 85), point(page, 105, 95))
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    saved(page)
    assert next((place.x, place.y) for place in layout_of(laid_out).places if place.ref == "S1") == (105, 95)
    page.touchscreen.tap(*point(page, 110, 30))
    chosen(page, "Turn right by 90")
    saved(page)
    assert next(place.turn for place in layout_of(laid_out).places if place.ref == "L1") == 90
    page.get_by_role("button", name="Line", exact=True).tap()
    page.touchscreen.tap(*point(page, 27, 66))
    page.touchscreen.tap(*point(page, 30, 105))
    page.touchscreen.tap(*point(page, 97, 95))
    saved(page)
    line = layout_of(laid_out).lines[-1]
    assert (line.start, line.end, len(line.via)) == ("B1.p2", "S1.a", 1)


def test_bends_are_pulled_out_moved_and_taken_out_by_finger(
    phone: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(phone, live_server, laid_out)
    open_plan(phone, live_server, laid_out)

    def via() -> tuple[tuple[float, float], ...]:
        saved(phone)
        return next(line.via for line in layout_of(laid_out).lines if line.name == "s2")

    phone.touchscreen.tap(*point(phone, 75, 30))
    expect(phone.locator("svg [data-newbend]").first).to_be_visible()
    finger(phone, point(phone, 81, 30), point(phone, 80, 20))
    expect(phone.locator("svg [data-bend]")).to_have_count(1)
    assert via() == ((80, 20),)
    finger(phone, point(phone, 80, 20), point(phone, 85, 25))
    assert via() == ((85, 25),)
    chosen(phone, "Take this bend out")
    expect(phone.locator("svg [data-bend]")).to_have_count(0)
    assert via() == ()


def test_a_part_is_dragged_from_the_tray_on_to_the_cloth(phone: Page, live_server: LiveServer, kit: Kit) -> None:
    sign_in(phone, live_server, kit)
    open_plan(phone, live_server, kit)
    button = phone.get_by_role("button", name="Put L1 on").first
    button.scroll_into_view_if_needed()
    target, box = point(phone, 90, 40), button.bounding_box()
    assert box
    finger(phone, (box["x"] + 20, box["y"] + 20), target)
    saved(phone)
    place = place_of(kit, "L1")
    assert (place.x, place.y, place.side) == (90, 40, "outside")
    # Let go beside the cloth, it stays in the tray.
    box = phone.get_by_role("button", name="Put B1 on").first.bounding_box()
    assert box
    finger(phone, (box["x"] + 20, box["y"] + 20), (box["x"] + 60, box["y"] + 40))
    expect(phone.get_by_role("button", name="Put B1 on").first).to_be_visible()
    assert len(layout_of(kit).places) == 1


def pinch(page: Page, middle: tuple[float, float], spread: tuple[float, float], shift: float = 0) -> None:
    """Two fingers side by side around a point of the screen, so far apart at first and at last, and shifted along."""
    touches = page.context.new_cdp_session(page)
    for i in range(11):
        half, x = (spread[0] + (spread[1] - spread[0]) * i / 10) / 2, middle[0] + shift * i / 10
        points = [{"x": x - half, "y": middle[1], "id": 1}, {"x": x + half, "y": middle[1], "id": 2}]
        touches.send("Input.dispatchTouchEvent", {"type": "touchMove" if i else "touchStart", "touchPoints": points})
    touches.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_two_fingers_look_closer_and_move_about(phone: Page, live_server: LiveServer, laid_out: Kit) -> None:
    sign_in(phone, live_server, laid_out)
    open_plan(phone, live_server, laid_out)
    before, middle = point(phone, 110, 30), point(phone, 80, 60)
    pinch(phone, middle, (60, 180), shift=30)
    moved, after = point(phone, 80, 60), point(phone, 110, 30)
    # What lay between the fingers is between them still, and all is three times as large.
    assert moved == pytest.approx((middle[0] + 30, middle[1]), abs=2)
    assert after[0] - moved[0] == pytest.approx(3 * (before[0] - middle[0]), rel=0.05)
    finger(phone, (middle[0] + 5, middle[1] + 5), (middle[0] - 55, middle[1] - 15))  # one finger moves the cloth about
    assert point(phone, 80, 60) == pytest.approx((moved[0] - 60, moved[1] - 20), abs=8)
    laid_out.refresh_from_db()
    assert laid_out.layout_version == 1
    phone.get_by_role("button", name="Fit", exact=True).click()
    expect(phone.locator("svg.fabric")).not_to_have_class(re.compile("closer"))
    assert point(phone, 110, 30)[0] == pytest.approx(before[0], abs=1)
