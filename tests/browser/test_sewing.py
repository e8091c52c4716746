"""A learner sews a whole kit step by step in one browser, while the teacher gives the looks in another."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Event, Kit
from kits.services.sewing import read_sewing
from kits.services.states import state_of_kit
from tests.browser.test_pages import assert_sound, open_as  # noqa: F401
from tests.kits.factories import learner_client, make_user, make_workshop, photographed, sewing, teacher_client
from tests.kits.test_services_steps import go_on

pytestmark = pytest.mark.django_db(transaction=True)

SLOW = 15_000


@pytest.fixture
def kit(transactional_db: None) -> Kit:
    workshop = make_workshop(make_user("ida"), kits=2, names=("Ayo", "Kaja"))
    return sewing(workshop.kits.select_related("workshop__owner").get(number=1))


def joined(browser: Browser, live_server: LiveServer, kit: Kit) -> Page:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(f"{live_server.url}/join/")
    page.get_by_role("textbox").fill(kit.code)
    page.get_by_role("button", name="Open my kit").click()
    page.get_by_role("link", name="Sew step by step").click()
    return page


def expected(kit: Kit) -> dict[str, float | None]:
    found = read_sewing(Kit.objects.get(pk=kit.pk))
    assert found is not None
    return {reading.key: reading.expected for reading in found.progress.plan.readings}


def test_a_whole_kit_is_sewn_step_by_step_and_looked_at_from_the_board(
    kit: Kit,
    browser: Browser,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    board = open_as(teacher_client(kit.workshop.owner))
    board.goto(f"{live_server.url}/workshops/{kit.workshop_id}/")
    board.locator("#tick-all").focus()
    learner, readings = joined(browser, live_server, kit), expected(kit)
    looks = 0
    for _ in range(120):
        if learner.get_by_text("All steps are done.").is_visible():
            break
        heading = learner.locator("#step-head").inner_text()
        hidden = learner.locator("#sewing input[name=step]")
        if not hidden.count():  # a look
            looks += 1
            expect(board.locator(f"#look-{kit.pk}")).to_be_visible(timeout=SLOW)
            expect(learner.get_by_text("There is news.")).to_be_hidden()  # what one does oneself is no news
            if looks == 1:
                expect(board.locator("#tick-all")).to_be_focused()
            board.locator(f"#look-{kit.pk}").click()
            board.get_by_role("button", name="Looked at, good").first.click()
            board.goto(f"{live_server.url}/workshops/{kit.workshop_id}/")
            expect(learner.get_by_text("There is news.")).to_be_visible(timeout=SLOW)
            learner.get_by_role("link", name="Show me").click()
            expect(learner.locator("#sewing")).not_to_contain_text(heading, timeout=SLOW)
            continue
        expect(learner.locator("#step-head")).to_be_focused()  # a new step is where the keyboard is
        if (key := hidden.first.input_value()) in readings:
            value = readings[key]
            if value is None:
                learner.get_by_role("button", name="It shows OL or 1").click()
            else:
                learner.get_by_label("What does the meter show?").fill(f"{value:.2f}")
                learner.keyboard.press("Enter")
        else:
            learner.keyboard.press("Tab")
            learner.keyboard.press("Enter")
        expect(learner.locator("#sewing")).not_to_contain_text(heading, timeout=SLOW)
    expect(learner.get_by_text("All steps are done.")).to_be_visible()
    assert looks == 2
    assert state_of_kit(Kit.objects.get(pk=kit.pk)).phase == "finished"
    assert kit.events.filter(kind=Event.Kind.READING_TAKEN).count() == len(
        [key for key in readings if kit.events.filter(step=key).exists()]
    )
    expect(board.locator("#board")).to_contain_text("finished", timeout=SLOW)
    learner.close()


def test_a_dropped_network_loses_nothing_that_was_typed(kit: Kit, browser: Browser, live_server: LiveServer) -> None:
    go_on(kit, "read:")
    learner = joined(browser, live_server, kit)
    field = learner.get_by_label("What does the meter show?")
    field.fill("3.0")
    learner.context.set_offline(True)
    learner.get_by_role("button", name="Check it").click()
    expect(learner.locator(".sewing-reading [data-offline]")).to_be_visible()
    expect(field).to_have_value("3.0")
    learner.context.set_offline(False)
    learner.get_by_role("button", name="Check it").click()
    expect(learner.locator("#sewing")).to_contain_text("Good. The thread joins these two.", timeout=SLOW)
    learner.close()


def test_names_are_hidden_at_one_key_and_stay_so_when_the_board_is_fetched_anew(
    kit: Kit,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    board = open_as(teacher_client(kit.workshop.owner))
    board.goto(f"{live_server.url}/workshops/{kit.workshop_id}/")
    name = board.locator(f"#to-{kit.pk} .learner-name")
    expect(name).to_be_visible()
    board.keyboard.press("Escape")
    expect(name).to_be_hidden()
    seen = [board.locator(f".board {row} > :visible").count() for row in ("thead tr", "tbody tr:first-child")]
    assert seen[0] == seen[1]  # each cell still stands beneath its head
    learner_client(kit).post("/my-kit/help/", {"about": "the knot"})
    expect(board.locator("#board")).to_contain_text("the knot", timeout=SLOW)
    expect(name).to_be_hidden()
    board.reload()
    expect(name).to_be_hidden()
    board.get_by_role("button", name="Show names and pace").click()
    expect(name).to_be_visible()
    here = board.locator(f"#here-{kit.learners.get().pk}")
    here.click()
    expect(here).to_have_text("away")
    expect(here).to_be_focused()


def test_sewing_pages_are_sound(
    kit: Kit,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    go_on(kit, "read:")
    page = open_as(learner_client(kit))
    for address in ("", "differently/", "differently/?line=s3"):
        assert_sound(page, f"{live_server.url}/my-kit/sewing/{address}")
    photographed(kit)
    for address in ("/my-kit/photos/", "/who/", "/my-kit/sewing/"):
        assert_sound(page, f"{live_server.url}{address}")
        small = page.eval_on_selector_all(
            "main button, main .btn, main input:not([type=hidden], [type=radio]), main select",
            "all => all.map(one => one.getBoundingClientRect()).filter(box => box.height && box.height < 44).length",
        )
        assert small == 0, address
    teacher = open_as(teacher_client(kit.workshop.owner))
    for address in (f"/kits/{kit.pk}/sewing/", f"/kits/{kit.pk}/compare/", f"/workshops/{kit.workshop_id}/"):
        assert_sound(teacher, f"{live_server.url}{address}")
