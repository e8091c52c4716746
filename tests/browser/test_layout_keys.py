"""The layout page by keyboard alone, with what is spoken."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import layout_of, open_plan, place_of, point, saved, sign_in
from tests.kits.factories import lantern, with_layout
from tests.kits.test_services_layouts import beneath

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def press(page: Page) -> Callable[..., None]:
    """Give something the focus and press a key, Enter unless named."""

    def pressed(where: Locator, key: str = "Enter") -> None:
        where.first.focus()
        page.keyboard.press(key)

    return pressed


def fill(page: Page, name: str, value: str) -> None:
    page.get_by_label(name, exact=True).first.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type(value)
    leave(page)


def leave(page: Page) -> None:
    """On to the next field; what was typed is taken a moment later, once the focus has moved."""
    page.keyboard.press("Tab")
    page.evaluate("new Promise((done) => setTimeout(done, 20))")


def spoken(page: Page, words: str) -> None:
    expect(page.locator("[data-of-page=spoken]")).to_have_text(words)


def test_a_whole_plan_is_made_by_keyboard_alone(
    page: Page, live_server: LiveServer, kit: Kit, press: Callable[..., None]
) -> None:
    """The lantern patch of the demo as one who sees nothing of it would lay it out, up to handing it in."""
    sign_in(page, live_server, kit)
    open_plan(page, live_server, kit)
    for ref, x, y in (("B1", 40, 60), ("L1", 110, 30), ("S1", 110, 85)):
        press(page.get_by_role("button", name=f"Put it on: {ref}"))
        row = page.locator(f"[data-key='row part {ref}']")
        if row.get_attribute("aria-expanded") == "false":
            press(row)
        fill(page, "From the left, mm", str(x))
        fill(page, "From the top, mm", str(y))
    press(page.locator("button[value=line]"))
    hole = "svg [data-end='{}']"
    for start, end in (("B1.p1", "B1.p2"), ("B1.p1", "L1.plus"), ("L1.minus", "S1.b"), ("S1.a", "B1.n2")):
        press(page.locator(hole.format(start)))
        press(page.locator(hole.format(end)))
    spoken(page, "The line ends at B1 −.")
    press(page.locator("summary", has_text="Lines"))
    for name, bends in {
        "s1": [(20, 60)],
        "s2": [(27, 30)],
        "s3": [(135, 30), (135, 85)],
        "s4": [(70, 85), (70, 66)],
    }.items():
        row = page.locator(f"[data-key='row line {name}']")
        if row.get_attribute("aria-expanded") == "false":
            press(row)
        for number, (x, y) in enumerate(bends, start=1):
            press(page.get_by_role("button", name="Add a bend"))
            fill(page, f"Bend {number} from the left, mm", str(x))
            fill(page, f"Bend {number} from the top, mm", str(y))
    saved(page)
    layout = layout_of(kit)
    assert {place.ref: (place.x, place.y) for place in layout.places} == {
        "B1": (40, 60),
        "L1": (110, 30),
        "S1": (110, 85),
    }
    assert [(line.start, line.end, line.via) for line in layout.lines] == [
        ("B1.p1", "B1.p2", ((20, 60),)),
        ("B1.p1", "L1.plus", ((27, 30),)),
        ("L1.minus", "S1.b", ((135, 30), (135, 85))),
        ("S1.a", "B1.n2", ((70, 85), (70, 66))),
    ]
    expect(page.locator("[data-of-page=hand-in-why]")).to_have_text("Ready to hand in.")
    press(page.get_by_role("button", name="Hand in my plan"))
    page.wait_for_url("**/my-kit/")
    assert kit.submissions.count() == 1


def test_keys_move_turn_and_take_out_what_is_chosen(
    page: Page, live_server: LiveServer, laid_out: Kit, press: Callable[..., None]
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    light = page.locator("svg [data-part=L1]")
    press(light, "ArrowLeft")
    press(light, "Shift+ArrowDown")
    spoken(page, "L1: 109 mm from the left, 40 mm from the top.")
    press(light, "]")
    press(light, "}")
    spoken(page, "L1 is turned by 105 degrees.")
    press(light, "[")
    saved(page)
    place = place_of(laid_out, "L1")
    assert (place.x, place.y, place.turn) == (109, 40, 90)
    press(light, "Delete")
    spoken(page, "L1 is off the cloth.")
    press(page.locator("svg.fabric"), "Control+z")
    saved(page)
    assert place_of(laid_out, "L1").turn == 90
    press(page.locator("svg [data-line=s1][role=button]"))
    press(page.locator("svg [data-bend]").first, "ArrowRight")
    spoken(page, "Bend 1 of line s1: 28 mm from the left, 30 mm from the top.")
    press(page.locator("svg [data-bend]").first, "Delete")
    spoken(page, "Bend taken out.")
    press(page.locator("summary", has_text="Meeting points"))
    press(page.get_by_role("button", name="Add a cover"))
    press(page.locator("svg [data-cover='1']"), "Delete")
    spoken(page, "Cover taken out.")
    saved(page)
    assert layout_of(laid_out).covers == lantern().layout.covers


def test_the_focus_goes_along_and_is_never_nowhere(
    page: Page, live_server: LiveServer, kit: Kit, press: Callable[..., None]
) -> None:
    sign_in(page, live_server, kit)
    open_plan(page, live_server, kit)
    for ref in ("B1", "L1", "S1"):  # each time the next part is some way on with the Tab key
        button = page.locator(f"[data-key='tray {ref}']")
        for _ in range(40):
            page.keyboard.press("Tab")
            if button.evaluate("one => one === document.activeElement"):
                break
        page.keyboard.press("Enter")
        expect(page.locator(f"svg [data-part={ref}]")).to_be_focused()
    saved(page)
    x = place_of(kit, "S1").x
    page.keyboard.press("ArrowRight")
    saved(page)
    assert place_of(kit, "S1").x == x + 1
    press(page.locator("button[value=line]"))
    spoken(page, "Tap the metal hole where the line starts.")
    press(page.locator("svg [data-end='B1.p1']"))
    press(page.locator("svg [data-end='L1.plus']"))
    press(page.locator("summary", has_text="Lines"))
    press(page.locator("[data-key='row line s1']"))
    press(page.locator("[data-key='row line s1']"))
    press(page.locator("[data-of-page=lines]").get_by_role("button", name="Take this line out"))
    expect(page.locator("summary", has_text="Lines")).to_be_focused()
    press(page.locator("button[value=move]"))
    press(page.locator("svg [data-part=L1]"))
    press(page.locator("[data-of-page=chosen]").get_by_role("button", name="Take it off"))
    expect(page.locator("svg.fabric")).to_be_focused()


def test_keys_look_closer_and_about(
    page: Page, live_server: LiveServer, laid_out: Kit, press: Callable[..., None]
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    cloth = page.locator("svg.fabric")
    before = point(page, 40, 60)
    for _ in range(3):
        press(cloth, "+")
    closer = point(page, 40, 60)
    press(cloth, "ArrowRight")
    assert point(page, 40, 60)[0] == pytest.approx(closer[0] - 60, abs=1)
    press(cloth, "-")
    press(cloth, "0")
    assert point(page, 40, 60) == pytest.approx(before, abs=1)


def test_findings_and_marks_are_reached_by_key(
    page: Page, live_server: LiveServer, laid_out: Kit, press: Callable[..., None]
) -> None:
    with_layout(laid_out, beneath())
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    mark = page.locator("svg .mark-stop").first
    number = mark.get_attribute("data-finding")
    assert (mark.get_attribute("aria-label") or "").startswith(f"Mark {number}: ")
    press(mark)
    entry = page.get_by_role("button", name=f"Show {number} on the cloth")
    expect(entry).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(f"svg .mark.pointed[data-finding='{number}']").first).to_be_visible()


def test_an_answer_that_arrives_takes_nothing_from_one_who_types(
    page: Page, live_server: LiveServer, laid_out: Kit, press: Callable[..., None]
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    press(page.locator("[data-key='row part L1']"))
    page.get_by_label("From the left, mm", exact=True).first.focus()
    with page.expect_response("**/layout/save/"):
        page.keyboard.press("Control+A")
        page.keyboard.type("112")
        page.keyboard.press("Tab")
        page.keyboard.press("Control+A")
        page.keyboard.type("3")
    saved(page)
    page.keyboard.type("5")
    leave(page)
    saved(page)
    assert (place_of(laid_out, "L1").x, place_of(laid_out, "L1").y) == (112, 35)
