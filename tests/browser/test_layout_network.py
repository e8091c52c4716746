"""The layout page on a bad network, in two tabs, and loaded again: nothing is lost, nothing overwritten in silence."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page, Route, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import back_on, cut_off, drag, open_plan, put_by, saved, sign_in, spot_of, state

pytestmark = pytest.mark.django_db(transaction=True)

FIRST = (110, 85)  # where S1 lies in the example layout


@pytest.fixture
def offline(plan: Page, context: BrowserContext) -> Page:
    """The plan, with S1 moved to (120, 95) while there was no network."""
    cut_off(context)
    drag(plan, FIRST, (120, 95))
    state(plan, "kept")
    return plan


def made(page: Page) -> float:
    """When the server made this page: the same again if it came from the device's own store."""
    told: float = json.loads(page.locator("#layout-data").text_content() or "")["made"]
    return told


def test_work_goes_on_without_a_network_and_is_sent_when_it_is_back(
    offline: Page, context: BrowserContext, laid_out: Kit
) -> None:
    drag(offline, (120, 95), (110, 100))
    assert spot_of(laid_out, "S1") == FIRST
    back_on(context)
    saved(offline)
    assert spot_of(laid_out, "S1") == (110, 100)


def test_a_plan_that_is_not_sent_is_not_handed_in_and_the_page_says_so(
    offline: Page, context: BrowserContext, laid_out: Kit
) -> None:
    why, hand_in = offline.locator("[data-of-page=hand-in-why]"), offline.get_by_role("button", name="Hand in my plan")
    hand_in.click()
    expect(why).to_contain_text("Not handed in")
    back_on(context)
    saved(offline)
    expect(why).to_have_text("Ready to hand in.")
    hand_in.click()
    offline.wait_for_url("**/my-kit/")
    assert spot_of(laid_out, "S1") == (120, 95)
    assert laid_out.submissions.count() == 1


def test_a_page_that_was_lost_offline_comes_back_with_its_work(
    offline: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    offline.goto("about:blank")
    back_on(context)
    open_plan(offline, live_server, laid_out)
    saved(offline)
    assert spot_of(laid_out, "S1") == (120, 95)


def test_work_kept_on_a_device_does_not_overwrite_what_was_saved_since(
    offline: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    offline.goto("about:blank")
    laid_out.layout_version += 1
    laid_out.save()
    back_on(context)
    for _ in range(2):  # and not at a second visit either, as long as nobody has chosen
        open_plan(offline, live_server, laid_out)
        expect(offline.locator("[data-of-page=conflict]")).to_be_visible()
        assert spot_of(laid_out, "S1") == FIRST
    offline.get_by_role("button", name="Keep this plan").click()
    saved(offline)
    assert spot_of(laid_out, "S1") == (120, 95)


@pytest.mark.parametrize(("answer", "kept"), [("Keep this plan", (100, 95)), ("Keep the other plan", (120, 95))])
def test_two_tabs_never_overwrite_each_other_in_silence(
    plan: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit, answer: str, kept: tuple[float, float]
) -> None:
    other = context.new_page()
    open_plan(other, live_server, laid_out)
    drag(other, FIRST, (120, 95))
    saved(other)
    drag(plan, FIRST, (100, 95))
    choice = plan.locator("[data-of-page=conflict]")
    expect(choice.locator("svg")).to_have_count(2)
    expect(choice).to_contain_text("Not the same in both: S1.")
    expect(choice.locator(".part.chosen")).to_have_count(2)
    assert spot_of(laid_out, "S1") == (120, 95)
    choice.get_by_role("button", name=answer).click()
    saved(plan)
    assert spot_of(laid_out, "S1") == kept


def test_a_refused_plan_is_said_and_kept(plan: Page, laid_out: Kit, complaints: list[str]) -> None:
    plan.context.clear_cookies(name="sessionid")
    drag(plan, FIRST, (120, 95))
    state(plan, "refused")
    key = f"tieoff-layout-kit-{laid_out.pk}."
    kept = plan.evaluate("key => Object.entries(localStorage).find(([name]) => name.startsWith(key))[1]", key)
    places = {place["ref"]: place for place in json.loads(kept)["layout"]["places"]}
    assert (places["S1"]["x"], places["S1"]["y"]) == (120, 95)


def test_loading_again_at_once_loses_nothing(plan: Page, laid_out: Kit) -> None:
    drag(plan, FIRST, (120, 95))
    drag(plan, (120, 95), (112.5, 95))
    plan.reload()
    plan.wait_for_selector("[data-ready]")
    saved(plan)
    assert spot_of(laid_out, "S1") == (112.5, 95)


def test_an_answer_that_got_lost_is_no_quarrel(plan: Page, laid_out: Kit) -> None:
    lost: list[int] = []

    def lose_the_first(route: Route) -> None:
        if lost:
            return route.continue_()
        lost.append(route.fetch().status)  # the server has stored it, and the network goes
        route.abort()

    plan.route("**/layout/save/", lose_the_first)
    drag(plan, FIRST, (120, 95))
    saved(plan)
    assert lost == [200]
    expect(plan.locator("[data-of-page=conflict]")).to_be_hidden()
    assert (spot_of(laid_out, "S1"), laid_out.layout_version) == ((120, 95), 3)


def test_two_tabs_without_a_network_each_keep_their_own(
    plan: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    other = context.new_page()
    open_plan(other, live_server, laid_out)
    cut_off(context)
    for tab, to in ((plan, (120, 95)), (other, (100, 95))):
        drag(tab, FIRST, to)
        state(tab, "kept")
    back_on(context)
    settled = "[data-of-page=saved][data-state=saved], [data-of-page=saved][data-state=asking]"
    for tab in (plan, other):
        expect(tab.locator(settled)).to_be_visible(timeout=20_000)
    asked = [tab for tab in (plan, other) if tab.locator("[data-of-page=conflict]").is_visible()]
    assert len(asked) == 1
    first = spot_of(laid_out, "S1")
    asked[0].get_by_role("button", name="Keep this plan").click()
    saved(asked[0])
    assert {first, spot_of(laid_out, "S1")} == {(100, 95), (120, 95)}


def test_the_page_is_loaded_again_without_a_network(plan: Page, context: BrowserContext, laid_out: Kit) -> None:
    put_by(plan)
    drag(plan, FIRST, (120, 95))
    saved(plan)  # after the page was put by: what was saved since is not in it
    cut_off(context)
    times = set()
    for start, end in (((120, 95), (120, 100)), ((120, 100), (115, 100))):
        plan.reload()
        plan.wait_for_selector("[data-ready]")
        times.add(made(plan))
        drag(plan, start, end)
        state(plan, "kept")
    assert len(times) == 1  # both times it was the page that is kept, and the server gave none
    assert spot_of(laid_out, "S1") == (120, 95)
    back_on(context)
    saved(plan)
    expect(plan.locator("[data-of-page=conflict]")).to_be_hidden()
    assert spot_of(laid_out, "S1") == (115, 100)


def test_a_page_kept_since_yesterday_is_not_shown(
    plan: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    """A learner's sign-in ends with the day, and so does what serves without a network."""
    put_by(plan)
    age = """async () => {
        for (const name of await caches.keys()) {
            const shelf = await caches.open(name), old = new Date(Date.now() - 864e5).toUTCString();
            const page = await shelf.match(location.href), text = await page.text();
            await shelf.put(location.href, new Response(text, {headers: {"Content-Type": "text/html", "Date": old}}));
        }
    }"""
    plan.evaluate(age)
    context.set_offline(True)
    with pytest.raises(Error, match=r"ERR_|net::"):
        plan.goto(f"{live_server.url}/kits/{laid_out.pk}/layout/")


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
