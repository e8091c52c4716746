"""The pages in a real browser: nothing cut off at 360 px, no barrier that axe finds, nothing the policy refuses."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit, Workshop
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help
from tests.kits.factories import (
    handed_in,
    learner_client,
    make_user,
    make_workshop,
    sewing,
    teacher_client,
    with_layout,
)
from tests.kits.test_services_layouts import beneath

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (360, 1280)
STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture
def workshop() -> Workshop:
    """A class with a kit that sews, one that has handed in, one with a stop that asks for help, one untouched."""
    workshop = make_workshop(make_user("ida"), kits=4, names=("Ayo", "Kaja", "Cem"))
    first, second, third, _ = workshop.kits.all()
    sewing(first)
    handed_in(second)
    with_layout(third, beneath())
    ask_for_help(third, Person(kit=third), "my line")
    return workshop


@pytest.fixture
def open_as(page: Page, live_server: LiveServer) -> Callable[[Client], Page]:
    """The browser with the cookies of a test client, so that no test signs in by hand."""

    def opened(client: Client) -> Page:
        page.context.clear_cookies()
        cookies = [{"name": c.key, "value": c.value, "url": live_server.url} for c in client.cookies.values()]
        page.context.add_cookies(cookies)  # type: ignore[arg-type]
        return page

    return opened


def assert_sound(page: Page, address: str) -> None:
    """Open an address at each width: no sideways scrolling, no barrier, no complaint of the browser."""
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(address)
        page.wait_for_load_state("networkidle")
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), (address, width)
        found = Axe().run(page, options={"runOnly": STANDARDS}).response["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == [], (address, width)
    assert complaints == [], address


def test_a_teachers_pages(workshop: Workshop, open_as: Callable[[Client], Page], live_server: LiveServer) -> None:
    page = open_as(teacher_client(workshop.owner))
    project = workshop.kits.first().revision.project
    addresses = ["/", "/workshops/", "/workshops/new/", "/projects/", "/projects/import/", f"/projects/{project.pk}/"]
    addresses += [f"/workshops/{workshop.pk}/{rest}" for rest in ("", "learners/", "codes/")]
    addresses += [f"/kits/{kit.pk}/" for kit in workshop.kits.all()]
    addresses += [f"/submissions/{kit.submissions.get().pk}/" for kit in workshop.kits.all()[:2]]
    for address in addresses:
        assert_sound(page, f"{live_server.url}{address}")


def test_a_learners_pages(workshop: Workshop, open_as: Callable[[Client], Page], live_server: LiveServer) -> None:
    for kit in workshop.kits.all():
        page = open_as(learner_client(kit))
        for address in ("/my-kit/", "/my-kit/findings/"):
            assert_sound(page, f"{live_server.url}{address}")
        page.goto(f"{live_server.url}/my-kit/")
        small = page.eval_on_selector_all(
            "main button, main .btn, main input:not([type=hidden])",
            "all => all.map(one => one.getBoundingClientRect()).filter(box => box.height < 44).length",
        )
        assert small == 0


def test_the_pages_before_signing_in(page: Page, live_server: LiveServer, db: None) -> None:
    for address in ("/sign-in/", "/join/", "/join/K7M0-3PX1-9QRD/"):
        assert_sound(page, f"{live_server.url}{address}")


def test_a_call_for_help_shows_on_the_board_by_itself_and_ticks_stay(
    workshop: Workshop, browser: Browser, open_as: Callable[[Client], Page], live_server: LiveServer
) -> None:
    board = open_as(teacher_client(workshop.owner))
    board.goto(f"{live_server.url}/workshops/{workshop.pk}/")
    kit = workshop.kits.get(number=4)
    board.locator(f"#kit-{kit.pk}").check()
    learner = browser.new_page()
    learner.goto(f"{live_server.url}/join/")
    learner.get_by_role("textbox").fill(kit.code)
    learner.get_by_role("button", name="Open my kit").click()
    learner.get_by_placeholder("What is it about?").fill("the knot")
    learner.get_by_role("button", name="Ask for help").click()
    expect(board.locator("#board")).to_contain_text("the knot", timeout=10_000)
    expect(board.locator(f"#kit-{kit.pk}")).to_be_checked()
    board.locator(f"#helped-{kit.pk}").click()
    expect(board.locator("#board")).not_to_contain_text("the knot")
    expect(board.locator(f"#kit-{kit.pk}")).to_be_checked()
    expect(learner.get_by_role("status").get_by_role("link")).to_be_visible(timeout=15_000)
    learner.close()


def test_what_happens_to_the_board_by_keyboard_alone(
    workshop: Workshop, open_as: Callable[[Client], Page], live_server: LiveServer
) -> None:
    page = open_as(teacher_client(workshop.owner))
    page.goto(f"{live_server.url}/workshops/{workshop.pk}/")
    page.keyboard.press("Tab")
    expect(page.locator(".skip-link")).to_be_focused()
    page.keyboard.press("Enter")
    kit: Kit = workshop.kits.get(number=4)
    page.locator(f"#kit-{kit.pk}").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Give the example layout").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".told[role=status]")).to_contain_text("Example layout given to kit 4")
