"""Leaving a shared tablet: no plan stays on it for the next child, and nothing that was not sent is lost."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Error, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from kits.services.learner_session import sign_all_out
from tests.browser.plan_page import bar_saves, drag, let_saves, open_plan, put_by, saved, sign_in, spot_of, state

pytestmark = pytest.mark.django_db(transaction=True)

# What a device holds that tells of a plan: pages put by, workers, and what a page wrote down.
HELD = """async () => [
    ...await caches.keys(),
    ...(await navigator.serviceWorker.getRegistrations()).map((worker) => worker.scope),
    ...Object.keys(localStorage),
]"""


def held(page: Page) -> list[str]:
    found: list[str] = page.evaluate(HELD)
    return found


def nothing_held(page: Page) -> None:
    """Wait until the page has put all of it away: it does so once it stands."""
    page.wait_for_function(f"async () => (await ({HELD})()).length === 0")


def no_plan_offline(page: Page, context: BrowserContext, live_server: LiveServer, kit: Kit) -> None:
    context.set_offline(True)
    with pytest.raises(Error, match=r"ERR_|net::"):
        page.goto(f"{live_server.url}/kits/{kit.pk}/layout/")


@pytest.fixture
def unsent(plan: Page, context: BrowserContext) -> Page:
    """The plan with a part moved while the server could not be reached."""
    put_by(plan)
    bar_saves(context)
    drag(plan, (110, 85), (120, 95))
    state(plan, "kept")
    return plan


def leave(page: Page) -> None:
    page.locator("[data-leave] button").click()


def answer(page: Page, name: str) -> None:
    page.get_by_role("dialog", name="Not all of your plan is sent").get_by_role("button", name=name).click()


def test_leaving_puts_the_plan_away(
    plan: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    put_by(plan)
    drag(plan, (110, 85), (120, 95))
    saved(plan)
    assert len(held(plan)) == 3
    leave(plan)
    plan.wait_for_url("**/join/")
    nothing_held(plan)
    plan.go_back()
    expect(plan.locator("svg.fabric")).to_have_count(0)
    no_plan_offline(plan, context, live_server, laid_out)


def test_who_was_signed_out_by_the_teacher_leaves_no_plan_either(
    plan: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    put_by(plan)
    sign_all_out(laid_out.workshop)
    plan.goto(f"{live_server.url}/kits/{laid_out.pk}/layout/")
    plan.wait_for_url("**/sign-in/**")
    nothing_held(plan)
    no_plan_offline(plan, context, live_server, laid_out)


def test_another_kit_opened_on_the_tablet_puts_the_plan_of_the_first_away(
    plan: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    put_by(plan)
    other = laid_out.workshop.kits.create(number=2, revision=laid_out.revision)
    sign_in(plan, live_server, other)
    nothing_held(plan)


def test_who_leaves_waits_until_all_is_sent(unsent: Page, context: BrowserContext, laid_out: Kit) -> None:
    leave(unsent)
    answer(unsent, "Wait")
    state(unsent, "kept")
    let_saves(context)
    unsent.evaluate("() => { dispatchEvent(new Event('online')); }")  # as when the network comes back
    saved(unsent)
    assert spot_of(laid_out, "S1") == (120, 95)
    leave(unsent)
    unsent.wait_for_url("**/join/")
    nothing_held(unsent)


def test_who_leaves_at_once_keeps_unsent_work_for_this_kit_alone(
    unsent: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    leave(unsent)
    answer(unsent, "Leave")
    unsent.wait_for_url("**/join/")
    let_saves(context)
    other = laid_out.workshop.kits.create(number=2, revision=laid_out.revision)
    sign_in(unsent, live_server, other)
    open_plan(unsent, live_server, other)
    expect(unsent.locator("svg [data-part]")).to_have_count(0)
    assert spot_of(laid_out, "S1") == (110, 85)
    sign_in(unsent, live_server, laid_out)
    open_plan(unsent, live_server, laid_out)
    saved(unsent)
    assert spot_of(laid_out, "S1") == (120, 95)


def test_leaving_from_another_page_speaks_of_unsent_work_and_leads_to_it(
    unsent: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    unsent.goto(f"{live_server.url}/who/")
    unsent.get_by_role("button", name="Type the code of another kit").click()
    let_saves(context)
    answer(unsent, "Wait")
    unsent.wait_for_url("**/layout/")
    saved(unsent)
    assert spot_of(laid_out, "S1") == (120, 95)


def test_where_the_device_keeps_nothing_the_question_says_so(plan: Page, laid_out: Kit) -> None:
    plan.evaluate("() => { Storage.prototype.setItem = () => { throw new Error('full'); }; }")
    bar_saves(plan.context)
    drag(plan, (110, 85), (120, 95))
    state(plan, "unkept")
    leave(plan)
    expect(plan.get_by_role("dialog")).to_contain_text("If you leave now, they are lost.")
    plan.keyboard.press("Escape")
    expect(plan.get_by_role("dialog")).to_have_count(0)
    state(plan, "unkept")
