"""“I sewed it differently”: a child draws the line on the cloth, by tapping and by keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Event, Kit
from tests.browser.test_pages import assert_sound, open_as  # noqa: F401
from tests.browser.test_sewing import kit  # noqa: F401
from tests.kits.factories import learner_client
from tests.kits.test_services_steps import go_on

pytestmark = pytest.mark.django_db(transaction=True)

START, END = "@j1", "L1.plus"


@pytest.fixture
def sewn(kit: Kit) -> Kit:  # noqa: F811
    """The line to the light is sewn."""
    go_on(kit, "turn:")
    return kit


def line_of(kit: Kit) -> str:  # noqa: F811
    lines = kit.read().layout.lines
    return next(line.name for line in lines if {line.start, line.end} == {START, END})


def opened(page: Page, live_server: LiveServer, line: str) -> Locator:
    page.set_viewport_size({"width": 390, "height": 800})
    page.goto(f"{live_server.url}/my-kit/sewing/differently/?line={line}")
    expect(page.locator("#redraw[data-ready=yes]")).to_be_visible()
    return page.locator("#redraw .fabric")


def tap_bend(page: Page, fabric: Locator, right: float, down: float) -> None:
    """A tap on the cloth at these shares of the drawing."""
    box = fabric.bounding_box()
    assert box is not None
    fabric.click(position={"x": right * box["width"], "y": down * box["height"]})


def drawn(page: Page) -> str:
    return page.locator("input[name=drawn]").first.input_value()


def test_a_line_is_drawn_by_tapping_and_kept(
    sewn: Kit,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    page, line = open_as(learner_client(sewn)), line_of(sewn)
    fabric = opened(page, live_server, line)
    hint = page.locator("[data-of-redraw=hint]")
    page.get_by_role("button", name="Check what I sewed").click()
    expect(page.get_by_text("Draw your line on the cloth first.")).to_be_visible()
    expect(page.locator("#redraw[data-ready=yes]")).to_be_visible()
    fabric.locator(f"[data-end='{START}']").click()
    expect(hint).to_contain_text("Tap the cloth for a bend.")
    tap_bend(page, fabric, 0.5, 0.2)
    expect(page.locator("#redraw .pending circle:not(.pending-tip)")).to_have_count(2)
    fabric.locator(f"[data-end='{END}']").click()
    expect(hint).to_contain_text("Is that how you sewed it?")
    first = drawn(page)
    assert len(first.split(" ")) == 1
    # What was drawn is still there after the check, and can be drawn again.
    page.get_by_role("button", name="Check what I sewed").click()
    expect(page.get_by_role("button", name="I unpick it, and sew it as planned")).to_be_visible()
    assert drawn(page) == first
    keep = page.get_by_role("button", name="Yes, keep it so")
    expect(keep).to_be_visible()
    keep.click()
    expect(page.get_by_text("Your plan now shows what you sewed.")).to_be_visible()
    new = Kit.objects.get(pk=sewn.pk).read().layout
    (x, y) = next(one.via for one in new.lines if one.name == line)[0]
    assert f"{x:g},{y:g}" == first
    assert sewn.events.filter(kind=Event.Kind.SEWN_OTHERWISE).count() == 1


def test_a_line_is_drawn_by_keys_alone(
    sewn: Kit,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    page, line = open_as(learner_client(sewn)), line_of(sewn)
    fabric = opened(page, live_server, line)
    start, end = (fabric.locator(f"[data-end='{name}']") for name in (START, END))
    start.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#redraw .pending")).to_have_count(1)
    expect(start).to_be_focused()
    for key in ("Shift+ArrowUp", "ArrowUp", "Space", "Shift+ArrowRight"):
        page.keyboard.press(key)
    expect(page.locator("#redraw .pending circle:not(.pending-tip)")).to_have_count(3)
    end.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#redraw .pending")).to_have_count(0)
    one, two = ([float(value) for value in pair.split(",")] for pair in drawn(page).split(" "))
    assert [two[0] - one[0], two[1] - one[1]] == pytest.approx([10, 0])
    # Another go takes its place.
    start.focus()
    page.keyboard.press("Enter")
    end.focus()
    page.keyboard.press("Enter")
    expect(page.locator("input[name=drawn]").first).to_have_value("straight")
    assert page.locator(f"#redraw g.line[data-line='{line}']").count() == 1


def test_drawn_on_the_inside_it_is_the_same_line(
    sewn: Kit,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    page = open_as(learner_client(sewn))
    fabric = opened(page, live_server, line_of(sewn))
    for side, right in (("Outside", 0.48), ("Inside", 0.52)):
        page.get_by_role("button", name=side, exact=True).click()
        fabric.locator(f"[data-end='{START}']").click()
        tap_bend(page, fabric, right, 0.2)
        fabric.locator(f"[data-end='{END}']").click()
        expect(page.locator("input[name=drawn]").first).not_to_have_value("")
        x, _y = (float(value) for value in drawn(page).split(","))
        if side == "Outside":
            outside = x
    assert x == pytest.approx(outside, abs=1)


def test_the_page_is_sound(
    sewn: Kit,
    open_as: Callable[[Client], Page],  # noqa: F811
    live_server: LiveServer,
) -> None:
    page = open_as(learner_client(sewn))
    assert_sound(page, f"{live_server.url}/my-kit/sewing/differently/?line={line_of(sewn)}")
