"""Before and after a class, in a real browser: sound at both widths, counting with a thumb and without script."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.own_projects import load_examples
from kits.models import Workshop
from kits.services.tool_counts import count_tray, read_tools
from tests.browser.test_pages import assert_sound
from tests.kits.factories import make_user, make_workshop, sewing, teacher_client

pytestmark = pytest.mark.django_db(transaction=True)

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def workshop() -> Workshop:
    workshop = make_workshop(make_user("ida"), kits=5, names=("Ayo", "Kaja"))
    sewing(workshop.kits.get(number=1))
    return workshop


def sign_in(context: BrowserContext, live_server: LiveServer, client: Client) -> None:
    cookies = [{"name": c.key, "value": c.value, "url": live_server.url} for c in client.cookies.values()]
    context.add_cookies(cookies)  # type: ignore[arg-type]


def test_the_pages_of_a_class_are_sound(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    sign_in(page.context, live_server, teacher_client(workshop.owner))
    session, kit = workshop.sessions.get(), workshop.kits.get(number=1)
    count_tray(session, workshop.tool_trays.first(), "out", {workshop.tool_kinds.first().pk: 3}, None)
    names = ("set-up", "details", "copy-workshop", "roster-list", "roster", "codes", "sessions", "tools", "class-today")
    names += ("helpers", "marks", "erase")
    addresses = [reverse(f"kits:{name}", args=[workshop.pk]) for name in names]
    addresses += [reverse(f"kits:{name}", args=[session.pk]) for name in ("session", "tool-count")]
    tray = workshop.tool_trays.first().pk
    addresses += [f"{reverse('kits:tool-count', args=[session.pk])}?tray={tray}&way={way}" for way in ("out", "back")]
    addresses += [
        reverse("kits:kit-marks", args=[kit.pk]),
        reverse("kits:learner", args=[workshop.learners.first().pk]),
    ]
    addresses += [reverse(f"kits:{name}") for name in ("home", "quick-start", "invitation")]
    for address in addresses:
        assert_sound(page, f"{live_server.url}{address}")


def test_a_thumb_counts_a_tray_and_a_reason_closes_it(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    sign_in(page.context, live_server, teacher_client(workshop.owner))
    page.set_viewport_size(PHONE)
    session = workshop.sessions.get()
    page.goto(f"{live_server.url}{reverse('kits:tool-count', args=[session.pk])}")
    page.get_by_role("link", name="Out: Table 1").click()
    row = page.locator(".count-list > li", has_text="Needles")
    for name, count in (("Needles: one more", "1"), ("Needles: one more", "2"), ("Needles: one fewer", "1")):
        button = page.get_by_role("button", name=name)
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 44
        button.click()
        expect(row.locator("output")).to_have_text(count)  # the row is new by then: measure no button that is leaving
    expect(page.get_by_role("button", name="Needles: one fewer")).to_be_focused()
    assert read_tools(session).short == 1
    page.get_by_role("link", name="All trays").click()
    page.get_by_role("button", name="Close it short").click()
    expect(page.get_by_text("1 thing is missing.")).to_be_visible()
    page.get_by_label("Why may the session end without it?").fill("It broke; both halves are found.")
    page.get_by_role("button", name="Close it short").click()
    expect(page.get_by_role("heading", name="The count is closed")).to_be_visible()
    assert read_tools(session).closed


def test_a_cell_goes_home_in_an_object_and_back_again(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    sign_in(page.context, live_server, teacher_client(workshop.owner))
    page.set_viewport_size(PHONE)
    session = workshop.sessions.get()
    tray = workshop.tool_trays.first().pk
    page.goto(f"{live_server.url}{reverse('kits:tool-count', args=[session.pk])}?tray={tray}&way=out")
    page.get_by_role("button", name="Out as usual").click()
    expect(page.locator(".count-list > li", has_text="Coin cells").locator("output")).to_have_text("4")
    page.get_by_role("link", name="Back", exact=True).click()
    page.get_by_label("Went home in the object of kit").select_option(label="2 Kaja")
    page.get_by_role("button", name="Home", exact=True).click()
    expect(page.get_by_text("home in kit 2")).to_be_visible()
    page.get_by_role("button", name="All are back").click()
    expect(page.locator(".count-list > li", has_text="Coin cells").locator("output")).to_have_text("3")
    assert read_tools(session).short == 0
    page.get_by_role("button", name="Kit 2: not home after all").click()
    expect(page.get_by_text("home in kit 2")).to_have_count(0)
    assert read_tools(session).short == 1


def test_counting_works_without_script(browser: Browser, live_server: LiveServer, workshop: Workshop) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE)  # type: ignore[arg-type]
    sign_in(context, live_server, teacher_client(workshop.owner))
    page = context.new_page()
    session = workshop.sessions.get()
    page.goto(f"{live_server.url}{reverse('kits:tool-count', args=[session.pk])}")
    page.get_by_role("link", name="Out: Table 1").click()
    for _twice in range(2):
        page.get_by_role("button", name="Scissors: one more").click()
    expect(page.locator(".count-list > li", has_text="Scissors").locator("output")).to_have_text("2")
    page.get_by_role("link", name="Table 2").click()
    expect(page.get_by_role("heading", name="Table 2")).to_be_visible()
    context.close()


def test_from_an_empty_site_to_printing(page: Page, live_server: LiveServer) -> None:
    user = make_user("new")
    sign_in(page.context, live_server, teacher_client(user))
    page.goto(live_server.url)
    page.get_by_role("button", name="Load three demo projects").click()
    page.get_by_role("link", name="Quick start").click()
    page.get_by_label("Number of kits").fill("6")
    page.get_by_role("button", name="Make the kits, go to print").click()
    expect(page.get_by_text("6 kits are made")).to_be_visible()
    assert Workshop.objects.get().kits.count() == 6
    assert load_examples(user) == []


def test_a_list_is_looked_at_then_taken_over(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    sign_in(page.context, live_server, teacher_client(workshop.owner))
    page.goto(f"{live_server.url}{reverse('kits:roster-list', args=[workshop.pk])}")
    page.get_by_label("Paste the list here").fill("Cem;3\nTove;three")
    page.get_by_role("button", name="Look at it first").click()
    expect(page.get_by_text("“three” is no kit number")).to_be_visible()
    expect(page.get_by_label("Paste the list here")).to_have_value("Cem;3\nTove;three")
    page.get_by_label("Paste the list here").fill("Cem;3\nTove;3")
    page.get_by_role("button", name="Look again").click()
    page.get_by_role("button", name="Take these 2 rows over").click()
    expect(page.get_by_text("Added 2 names.")).to_be_visible()
    assert [one.display_name for one in workshop.kits.get(number=3).learners.all()] == ["Cem", "Tove"]
