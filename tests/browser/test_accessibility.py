"""Every page that a link leads to, as the demo's teacher, its helper and its learners see it, through axe.

Pages are found by following links from the first page on, so a new page is walked without being named here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from urllib.parse import urldefrag, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.test import Client
from django.urls import Resolver404, resolve
from playwright.sync_api import Error, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.club import HELPER, TEACHER
from kits.demo.load import load
from kits.models import Kit, Workshop
from tests.kits.factories import learner_client, teacher_client

pytestmark = pytest.mark.django_db(transaction=True)

SERIOUS = ("serious", "critical")
EACH = 2  # of pages with one address pattern, such as the kits of a class: so many are looked at
FILES = (".pdf", ".csv", ".json", ".svg", ".zip", ".png", ".js")
NOT_WALKED = ("admin:",)  # Django's own


@pytest.fixture
def workshop() -> Workshop:
    return load()


def signed_in(page: Page, live_server: LiveServer, client: Client) -> None:
    page.context.clear_cookies()
    cookies = [{"name": one.key, "value": one.value, "url": live_server.url} for one in client.cookies.values()]
    page.context.add_cookies(cookies)  # type: ignore[arg-type]


def name_of(address: str) -> str:
    """The name of an address's pattern; empty for what is no page."""
    path = urlsplit(address).path
    if path.endswith(FILES):
        return ""
    try:
        name = resolve(path).view_name
    except Resolver404:
        return ""
    return "" if name.startswith(NOT_WALKED) else name


def walk(page: Page, live_server: LiveServer, start: str) -> Iterator[str]:
    """Open page after page, each that a link on an earlier one leads to; names of their patterns."""
    seen: Counter[str] = Counter()
    todo, known = [f"{live_server.url}{start}"], {f"{live_server.url}{start}"}
    while todo:
        address = todo.pop(0)
        name = name_of(address)
        if not name or seen[name] >= EACH:
            continue
        try:
            answer = page.goto(address)
        except Error as error:
            if "Download is starting" in error.message or "ERR_ABORTED" in error.message:
                continue  # a file, not a page
            raise
        assert answer, address
        if "html" not in (answer.header_value("Content-Type") or ""):
            continue
        assert answer.ok, (answer.status, address)
        seen[name] += 1
        settled(page)
        yield name
        links = page.eval_on_selector_all("a[href]:not([download])", "all => all.map(one => one.href)")
        for link in (urldefrag(link).url for link in links):
            if link.startswith(live_server.url) and link not in known:
                known.add(link)
                todo.append(link)


def settled(page: Page) -> None:
    """Wait for the pieces that a page loads into itself; each asks for its own while the page loads."""
    expect(page.locator(".htmx-request")).to_have_count(0)


def barriers(page: Page) -> list[str]:
    """What axe calls serious or critical on the page as it is."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}" for one in found if one["impact"] in SERIOUS for node in one["nodes"]]


SMALL = """(all) => !document.body.matches(".for-learner") ? [] : all
    .filter((one) => one.getBoundingClientRect().height < 44 || one.getBoundingClientRect().width < 24)
    .map((one) => one.outerHTML.slice(0, 200))"""


def hard_to_hit(page: Page) -> list[str]:
    """What a finger would miss on a learner's page: less than 44 px high; links within a text are let off."""
    things = page.locator("button:visible, summary:visible, select:visible, .btn:visible, nav a:visible")
    small: list[str] = things.evaluate_all(SMALL)
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    return [f"small: {one}" for one in small] + ([f"{wide} px too wide"] if wide > 0 else [])


def walked(page: Page, live_server: LiveServer, start: str) -> set[str]:
    found: list[str] = []
    names = set()
    for name in walk(page, live_server, start):
        names.add(name)
        found += [f"{page.url} {barrier}" for barrier in barriers(page) + hard_to_hit(page)]
    assert found == [], "\n".join(found)
    return names


def test_a_teachers_pages_have_no_barrier(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    signed_in(page, live_server, teacher_client(User.objects.get(username=TEACHER.username)))
    names = walked(page, live_server, "/")
    assert names >= {"kits:home", "kits:board", "kits:kit", "kits:layout", "kits:example-layout", "projects:page"}


def test_a_helpers_pages_have_no_barrier(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    signed_in(page, live_server, teacher_client(User.objects.get(username=HELPER.username)))
    assert walked(page, live_server, "/") >= {"kits:home", "kits:board", "kits:kit"}


def test_learners_pages_have_no_barrier(page: Page, live_server: LiveServer, workshop: Workshop) -> None:
    """One who has nothing laid out, one with a fault, one who sews, and a kit of two pieces; on a small phone."""
    page.set_viewport_size({"width": 360, "height": 740})
    kits = list(Kit.objects.filter(workshop=workshop).order_by("number"))
    names: set[str] = set()
    for kit in (kits[0], kits[1], kits[6], kits[11]):
        signed_in(page, live_server, learner_client(kit, kit.learners.first()))
        names |= walked(page, live_server, "/my-kit/")
    assert names >= {"kits:my-kit", "kits:layout", "kits:my-sewing", "kits:my-otherwise"}


def test_the_layout_page_has_no_barrier_while_one_works(
    page: Page, live_server: LiveServer, workshop: Workshop
) -> None:
    """With a line begun, a thing chosen, a list open, a mark pointed at, and on a phone."""
    kit = workshop.kits.get(number=2)
    signed_in(page, live_server, learner_client(kit, kit.learners.first()))
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{live_server.url}/kits/{kit.pk}/layout/")
    page.wait_for_selector("[data-ready]")
    for summary in page.locator("summary").all():
        if summary.locator("xpath=..").get_attribute("open") is None:
            summary.click()
    for press in ("row part B1", "row line s3"):
        page.locator(f"[data-key='{press}']").click()
        assert barriers(page) == []
    page.locator("button[value=line]").click()
    page.locator("svg [data-end='B1.p1']").focus()
    page.keyboard.press("Enter")
    page.locator("[data-of-page=findings] button").first.click()
    assert barriers(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_pages_before_signing_in_have_no_barrier(page: Page, live_server: LiveServer, db: None) -> None:
    for start in ("/sign-in/", "/join/"):
        walked(page, live_server, start)
