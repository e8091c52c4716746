"""The layout page on a bad network, in two tabs, and loaded again: nothing is lost, nothing overwritten in silence."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Browser, BrowserContext, Dialog, Error, Page, Route, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import drag, open_plan, place_of, saved, sign_in

pytestmark = pytest.mark.django_db(transaction=True)


def test_work_goes_on_without_a_network_and_is_sent_when_it_is_back(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    context.set_offline(True)
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    drag(page, (120, 95), (110, 100))
    assert place_of(laid_out, "S1").y == 85
    context.set_offline(False)
    saved(page)
    place = place_of(laid_out, "S1")
    assert (place.x, place.y) == (110, 100)


def test_a_page_that_was_lost_offline_comes_back_with_its_work(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    context.set_offline(True)
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    page.goto("about:blank")
    context.set_offline(False)
    open_plan(page, live_server, laid_out)
    saved(page)
    place = place_of(laid_out, "S1")
    assert (place.x, place.y) == (120, 95)


def test_work_kept_on_a_device_does_not_overwrite_what_was_saved_since(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    context.set_offline(True)
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    page.goto("about:blank")
    context.set_offline(False)
    laid_out.layout_version += 1
    laid_out.save()
    for _ in range(2):  # and not at a second visit either, as long as nobody has chosen
        open_plan(page, live_server, laid_out)
        expect(page.locator("[data-of-page=conflict]")).to_be_visible()
        assert place_of(laid_out, "S1").x == 110
    page.get_by_role("button", name="Keep this plan").click()
    saved(page)
    assert place_of(laid_out, "S1").x == 120


@pytest.mark.parametrize(
    ("answer", "kept"), [("Keep this plan", (100.0, 95.0)), ("Keep the other plan", (120.0, 95.0))]
)
def test_two_tabs_never_overwrite_each_other_in_silence(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit, answer: str, kept: tuple[float, float]
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    other = context.new_page()
    open_plan(other, live_server, laid_out)
    drag(other, (110, 85), (120, 95))
    saved(other)
    drag(page, (110, 85), (100, 95))
    choice = page.locator("[data-of-page=conflict]")
    expect(choice).to_be_visible()
    assert choice.locator("svg").count() == 2
    place = place_of(laid_out, "S1")
    assert (place.x, place.y) == (120, 95)
    choice.get_by_role("button", name=answer).click()
    saved(page)
    place = place_of(laid_out, "S1")
    assert (place.x, place.y) == kept


def test_a_refused_plan_is_said_and_kept(
    page: Page, live_server: LiveServer, laid_out: Kit, complaints: list[str]
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    page.context.clear_cookies(name="sessionid")
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "refused")
    key = f"tieoff-layout-kit-{laid_out.pk}."
    kept = page.evaluate("key => Object.entries(localStorage).find(([name]) => name.startsWith(key))[1]", key)
    places = {place["ref"]: place for place in json.loads(kept)["layout"]["places"]}
    assert (places["S1"]["x"], places["S1"]["y"]) == (120, 95)


def test_loading_again_at_once_loses_nothing(page: Page, live_server: LiveServer, laid_out: Kit) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    for to in ((120, 95), (112.5, 95)):
        drag(page, (110, 85) if to[0] == 120 else (120, 95), to)
    page.reload()
    page.wait_for_selector("[data-ready]")
    saved(page)
    assert (place_of(laid_out, "S1").x, place_of(laid_out, "S1").y) == (112.5, 95)


def test_an_answer_that_got_lost_is_no_quarrel(page: Page, live_server: LiveServer, laid_out: Kit) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    lost: list[int] = []

    def lose_the_first(route: Route) -> None:
        if lost:
            return route.continue_()
        lost.append(route.fetch().status)  # the server has stored it, and the network goes
        route.abort()

    page.route("**/layout/save/", lose_the_first)
    drag(page, (110, 85), (120, 95))
    saved(page)
    assert lost == [200]
    expect(page.locator("[data-of-page=conflict]")).to_be_hidden()
    assert (place_of(laid_out, "S1").x, laid_out.layout_version) == (120, 3)


def test_two_tabs_without_a_network_each_keep_their_own(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    other = context.new_page()
    open_plan(other, live_server, laid_out)
    context.set_offline(True)
    drag(page, (110, 85), (120, 95))
    drag(other, (110, 85), (100, 95))
    context.set_offline(False)
    saved_or_asked = "[data-of-page=saved][data-state=saved], [data-of-page=saved][data-state=asking]"
    for tab in (page, other):
        expect(tab.locator(saved_or_asked)).to_be_visible(timeout=20_000)
    asked = [tab for tab in (page, other) if tab.locator("[data-of-page=conflict]").is_visible()]
    assert len(asked) == 1
    first = place_of(laid_out, "S1").x
    asked[0].get_by_role("button", name="Keep this plan").click()
    saved(asked[0])
    assert {first, place_of(laid_out, "S1").x} == {100, 120}


def test_the_page_is_loaded_again_without_a_network(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    expect(page.locator("[data-of-page=holds]")).to_have_text("You can load this page again with no network.")
    drag(page, (110, 85), (120, 95))
    saved(page)  # after the page was put by: what was saved since is not in it
    context.set_offline(True)
    page.reload()
    page.wait_for_selector("[data-ready]")
    drag(page, (120, 95), (120, 100))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    page.reload()
    page.wait_for_selector("[data-ready]")
    drag(page, (120, 100), (115, 100))
    assert (place_of(laid_out, "S1").x, place_of(laid_out, "S1").y) == (120, 95)
    context.set_offline(False)
    saved(page)
    expect(page.locator("[data-of-page=conflict]")).to_be_hidden()
    assert (place_of(laid_out, "S1").x, place_of(laid_out, "S1").y) == (115, 100)


def test_where_no_worker_may_run_the_page_says_what_holds(
    browser: Browser, live_server: LiveServer, laid_out: Kit
) -> None:
    context = browser.new_context()
    context.add_init_script("Object.defineProperty(window, 'isSecureContext', {value: false})")
    page = context.new_page()
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    expect(page.locator("[data-of-page=holds]")).to_contain_text("leave this page open")
    assert page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    context.close()


def test_who_has_left_finds_no_plan_on_the_device(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    expect(page.locator("[data-of-page=holds]")).to_contain_text("no network")
    context.clear_cookies()
    page.goto(f"{live_server.url}/kits/{laid_out.pk}/layout/")
    page.wait_for_url("**/sign-in/**")
    context.set_offline(True)
    with pytest.raises(Error, match=r"ERR_|net::"):
        page.goto(f"{live_server.url}/kits/{laid_out.pk}/layout/")


def test_leaving_a_shared_tablet_puts_the_plan_away(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    expect(page.locator("[data-of-page=holds]")).to_contain_text("no network")
    drag(page, (110, 85), (120, 95))
    saved(page)
    assert page.evaluate("caches.keys().then((names) => names.length)") == 1
    page.get_by_role("button", name="leave").click()
    page.wait_for_url("**/join/")
    page.wait_for_function("caches.keys().then((names) => !names.length)")
    assert page.evaluate("Object.keys(localStorage)") == []
    context.set_offline(True)
    with pytest.raises(Error, match=r"ERR_|net::"):
        page.goto(f"{live_server.url}/kits/{laid_out.pk}/layout/")


def test_leaving_with_work_that_cannot_be_sent_asks_and_loses_nothing(
    page: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    page.route("**/layout/save/", lambda route: route.abort())
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    asked: list[str] = []

    def answer(dialog: Dialog) -> None:
        asked.append(dialog.message)
        dialog.dismiss() if len(asked) == 1 else dialog.accept()

    page.on("dialog", answer)
    leave = page.get_by_role("button", name="leave")
    leave.click()
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    leave.click()
    page.wait_for_url("**/join/")
    assert len(asked) == 2
    assert "stays on this device" in asked[0]
    page.unroute("**/layout/save/")
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    saved(page)
    assert place_of(laid_out, "S1").x == 120
