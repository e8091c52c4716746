"""A learner's plan in a real browser: by finger, by mouse, by keyboard alone, and on a bad network."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from projects.circuit.layout import Layout
from tests.kits.factories import lantern, make_user, make_workshop, with_layout

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("ida"), kits=1).kits.get()


@pytest.fixture
def laid_out(kit: Kit) -> Kit:
    return with_layout(kit)


def sign_in(page: Page, live_server: LiveServer, kit: Kit) -> None:
    page.goto(f"{live_server.url}/join/")
    page.get_by_role("textbox").fill(kit.code)
    page.get_by_role("button", name="Open").or_(page.locator("main form button")).first.click()
    page.wait_for_url("**/my-kit/")


def open_plan(page: Page, live_server: LiveServer, kit: Kit) -> None:
    page.goto(f"{live_server.url}/kits/{kit.pk}/layout/")
    page.wait_for_selector("[data-ready]")


@pytest.fixture
def complaints(page: Page) -> list[str]:
    """What the browser complains of: errors of scripts, and what the security policy refused."""
    found: list[str] = []
    page.on("pageerror", lambda error: found.append(str(error)))
    page.on("console", lambda said: found.append(said.text) if said.type in ("error", "warning") else None)
    return found


def saved(page: Page) -> None:
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "saved", timeout=10_000)


def layout_of(kit: Kit) -> Layout:
    kit.refresh_from_db()
    return kit.read().layout


def point(page: Page, x: float, y: float) -> tuple[float, float]:
    """Where a point of the fabric (mm) is on the screen."""
    js = """([x, y]) => {
        const svg = document.querySelector("svg.fabric");
        svg.scrollIntoView({block: "nearest"});
        const at = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM());
        return [at.x, at.y];
    }"""
    left, top = page.evaluate(js, [x, y])
    return left, top


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    page.mouse.move(*point(page, *start))
    page.mouse.down()
    page.mouse.move(*point(page, (start[0] + end[0]) / 2, (start[1] + end[1]) / 2))
    page.mouse.move(*point(page, *end))
    page.mouse.up()


def finger(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """One finger put down, moved and lifted, as the browser itself sees it: it may take it for scrolling."""
    (x, y), (to_x, to_y) = point(page, *start), point(page, *end)
    touches = page.context.new_cdp_session(page)
    for i in range(11):
        at = {"x": x + (to_x - x) * i / 10, "y": y + (to_y - y) * i / 10}
        kind = "touchMove" if i else "touchStart"
        touches.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [at]})
    touches.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def tap(page: Page, x: float, y: float) -> None:
    page.mouse.click(*point(page, x, y))


def tool(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def opened(page: Page, name: str) -> None:
    page.locator("summary", has_text=name).click()


def chosen(page: Page, name: str) -> None:
    page.locator("[data-of-page=chosen]").get_by_role("button", name=name).click()


def test_a_plan_is_laid_out_and_sewn_by_pointer(
    page: Page, live_server: LiveServer, kit: Kit, complaints: list[str]
) -> None:
    sign_in(page, live_server, kit)
    open_plan(page, live_server, kit)
    for _ in range(3):
        page.get_by_role("button", name="Put it on").first.click()
    saved(page)
    starts = {place.ref: (place.x, place.y) for place in layout_of(kit).places}
    assert set(starts) == {"B1", "L1", "S1"}
    for ref, spot in (("B1", (40, 60)), ("L1", (110, 30)), ("S1", (110, 85))):
        drag(page, starts[ref], spot)
        saved(page)
    assert {place.ref: (place.x, place.y) for place in layout_of(kit).places} == {
        "B1": (40, 60),
        "L1": (110, 30),
        "S1": (110, 85),
    }
    tool(page, "Line")
    for x, y in ((27, 54), (27, 30), (102, 30)):
        tap(page, x, y)
    for x, y in ((118, 30), (135, 30), (135, 85), (118, 85)):
        tap(page, x, y)
    for x, y in ((102, 85), (70, 85), (70, 66), (53, 66)):
        tap(page, x, y)
    saved(page)
    lines = {line.name: (line.start, line.end, line.via) for line in layout_of(kit).lines}
    assert lines == {
        "s1": ("B1.p1", "L1.plus", ((27.5, 30.0),)),
        "s2": ("L1.minus", "S1.b", ((135.0, 30.0), (135.0, 85.0))),
        "s3": ("S1.a", "B1.n2", ((70.0, 85.0), (70.0, 65.0))),
    }
    assert page.locator("[data-of-page=findings]").inner_text()
    expect(page.locator(".mark-stop")).to_have_count(0)
    page.get_by_role("button", name="Hand in my plan").click()
    page.wait_for_url("**/my-kit/")
    assert kit.submissions.count() == 1
    assert complaints == []


def test_a_meeting_point_on_a_line_splits_it_and_undo_takes_all_back(
    page: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    tool(page, "Line")
    tap(page, 53, 54)
    tap(page, 85, 54)
    tap(page, 85, 85)  # on the line from S1 A to B1 −
    chosen(page, "Meeting point")
    saved(page)
    layout = layout_of(laid_out)
    lines = {line.name: (line.start, line.end, line.via) for line in layout.lines}
    assert lines["s5"] == ("S1.a", "@j2", ())
    assert lines["s7"] == ("@j2", "B1.n2", ((70.0, 85.0), (70.0, 66.0)))
    assert lines["s8"] == ("B1.n1", "@j2", ((85.0, 55.0),))
    assert [(join.x, join.y) for join in layout.joins if join.name == "j2"] == [(85, 85)]
    page.get_by_role("button", name="Undo").click()
    saved(page)
    assert layout_of(laid_out) == lantern().layout
    page.get_by_role("button", name="Redo").click()
    saved(page)
    assert layout_of(laid_out) == layout


def test_parts_are_turned_put_inside_and_seen_from_there(page: Page, live_server: LiveServer, laid_out: Kit) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    tap(page, 110, 32)
    chosen(page, "Turn right by 15")
    chosen(page, "Turn right by 90")
    chosen(page, "Put it inside")
    saved(page)
    place = next(place for place in layout_of(laid_out).places if place.ref == "L1")
    assert (place.turn, place.side, place.x, place.y) == (105, "inside", 110, 30)
    tool(page, "Inside")
    # Seen from there the drawing is mirrored: the part is left of the middle, and a turn to the right runs back.
    mirrored = page.locator("[data-part=L1] .part-art").evaluate(
        "art => art.getCTM().e / art.ownerSVGElement.clientWidth"
    )
    assert mirrored < 0.5
    chosen(page, "Turn right by 15")
    saved(page)
    assert next(place for place in layout_of(laid_out).places if place.ref == "L1").turn == 90


def test_bends_are_pulled_out_moved_and_taken_out(page: Page, live_server: LiveServer, laid_out: Kit) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)

    def via() -> tuple[tuple[float, float], ...]:
        saved(page)
        return next(line.via for line in layout_of(laid_out).lines if line.name == "s2")

    tap(page, 73, 30)
    drag(page, (81, 30), (80, 20))
    assert via() == ((80, 20),)
    drag(page, (80, 20), (85, 25))
    assert via() == ((85, 25),)
    page.get_by_role("button", name="Take this bend out").first.click()
    assert via() == ()


def test_everything_can_be_done_by_keyboard_alone(page: Page, live_server: LiveServer, kit: Kit) -> None:
    sign_in(page, live_server, kit)
    open_plan(page, live_server, kit)

    def press(role: str, name: str, key: str = "Enter") -> None:
        page.get_by_role(role, name=name).first.focus()  # type: ignore[arg-type]
        page.keyboard.press(key)

    def fill(name: str, value: str) -> None:
        page.get_by_label(name, exact=True).first.focus()
        page.keyboard.press("Control+A")
        page.keyboard.type(value)
        page.keyboard.press("Tab")

    for _ in range(2):
        press("button", "Put it on")
    page.locator("[data-key='row part L1']").focus()
    if page.locator("[data-key='row part L1']").get_attribute("aria-expanded") == "false":
        page.keyboard.press("Enter")
    fill("From the left, mm", "120")
    fill("From the top, mm", "40")
    fill("Turn, degrees", "90")
    page.locator("svg [data-part=L1]").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowDown")
    saved(page)
    place = next(place for place in layout_of(kit).places if place.ref == "L1")
    assert (place.x, place.y, place.turn) == (119, 50, 90)
    page.locator("button[value=line]").focus()
    page.keyboard.press("Enter")
    page.locator("svg [data-end='B1.p1']").focus()
    page.keyboard.press("Enter")
    page.locator("svg [data-end='L1.plus']").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-of-page=spoken]")).to_have_text("The line ends at L1 +.")
    page.locator("summary", has_text="Lines").focus()
    page.keyboard.press("Enter")
    press("button", "Add a bend")
    fill("Bend 1 from the left, mm", "30")
    fill("Bend 1 from the top, mm", "20")
    page.locator("summary", has_text="Meeting points").focus()
    page.keyboard.press("Enter")
    press("button", "Add a cover")
    saved(page)
    layout = layout_of(kit)
    assert [(line.start, line.end, line.via) for line in layout.lines] == [("B1.p1", "L1.plus", ((30, 20),))]
    assert len(layout.covers) == 1
    page.locator("svg [data-part=L1]").focus()
    for _ in range(3):
        page.keyboard.press("Control+z")
    saved(page)
    assert layout_of(kit).covers == ()


def test_work_goes_on_without_a_network_and_is_sent_when_it_is_back(
    page: Page, context: BrowserContext, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    context.set_offline(True)
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "kept")
    drag(page, (120, 95), (110, 100))
    assert next(place.y for place in layout_of(laid_out).places if place.ref == "S1") == 85
    context.set_offline(False)
    saved(page)
    place = next(place for place in layout_of(laid_out).places if place.ref == "S1")
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
    place = next(place for place in layout_of(laid_out).places if place.ref == "S1")
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
        assert next(place for place in layout_of(laid_out).places if place.ref == "S1").x == 110
    page.get_by_role("button", name="Keep this plan").click()
    saved(page)
    assert next(place for place in layout_of(laid_out).places if place.ref == "S1").x == 120


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
    place = next(place for place in layout_of(laid_out).places if place.ref == "S1")
    assert (place.x, place.y) == (120, 95)
    choice.get_by_role("button", name=answer).click()
    saved(page)
    place = next(place for place in layout_of(laid_out).places if place.ref == "S1")
    assert (place.x, place.y) == kept


def test_a_phone_shows_it_all_without_scrolling_sideways_and_fingers_draw(
    browser: Browser, live_server: LiveServer, laid_out: Kit
) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 640}, has_touch=True, is_mobile=True)
    page = context.new_page()
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.locator("main button:visible, main summary:visible").evaluate_all(
        "all => all.filter(one => one.getBoundingClientRect().height < 44).map(one => one.textContent.trim())"
    )
    assert small == []
    finger(page, (110, 85), (105, 95))
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
    context.close()


def test_a_refused_plan_is_said_and_kept(
    page: Page, live_server: LiveServer, laid_out: Kit, complaints: list[str]
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    page.context.clear_cookies(name="sessionid")
    drag(page, (110, 85), (120, 95))
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", "refused")
    kept = page.evaluate(f"localStorage.getItem('tieoff-layout-kit-{laid_out.pk}')")
    places = {place["ref"]: place for place in json.loads(kept)["layout"]["places"]}
    assert (places["S1"]["x"], places["S1"]["y"]) == (120, 95)
