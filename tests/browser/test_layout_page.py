"""A learner's plan in a real browser, by mouse: parts, lines, bends, meeting points, sides, and a closer look."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.examples import examples
from kits.models import Kit
from projects.stored import layout_json
from tests.browser.plan_page import chosen, drag, layout_of, open_plan, place_of, saved, sign_in, tap, tool
from tests.browser.test_layout_demo import kit_of
from tests.kits.factories import lantern

pytestmark = pytest.mark.django_db(transaction=True)


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


def test_a_line_that_is_begun_stays_while_the_grid_is_put_off(
    page: Page, live_server: LiveServer, laid_out: Kit
) -> None:
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    tool(page, "Line")
    tap(page, 27, 66)
    tap(page, 31.1, 101.3)
    tool(page, "Grid")
    tap(page, 61.3, 104.6)
    tap(page, 102, 85)
    saved(page)
    line = layout_of(laid_out).lines[-1]
    assert (line.start, line.end, line.via[0]) == ("B1.p2", "S1.a", (30, 102.5))
    assert line.via[1] == pytest.approx((61.3, 104.6), abs=0.4)


def test_a_cover_is_laid_moved_made_larger_and_taken_out(page: Page, live_server: LiveServer, laid_out: Kit) -> None:
    before = lantern().layout.covers
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    tool(page, "Cover")
    tap(page, 70, 104)
    tool(page, "Move")
    drag(page, (70, 105), (80, 102.5))
    chosen(page, "Larger")
    saved(page)
    *others, cover = layout_of(laid_out).covers
    assert tuple(others) == before
    assert (cover.piece, cover.x, cover.y, cover.radius) == ("front", 80, 102.5, 7)
    chosen(page, "Take this cover out")
    saved(page)
    assert layout_of(laid_out).covers == before


def test_parts_go_from_piece_to_piece_and_lines_do_not(page: Page, live_server: LiveServer, db: None) -> None:
    document = examples()["hedgehog"]
    kit = kit_of(document)
    kit.layout, kit.layout_version = layout_json(document.layout), 1
    kit.save()
    sign_in(page, live_server, kit)
    open_plan(page, live_server, kit)
    expect(page.locator("svg .seam-thread")).to_have_count(2)  # one from crossing to crossing for each of the two
    drag(page, (160, 40), (150, 100), "belly", "back")
    saved(page)
    place = place_of(kit, "S1")
    assert (place.piece, place.x, place.y) == ("back", 150, 100)
    tool(page, "Line")
    page.locator("svg [data-end='M1.a2']").focus()
    page.keyboard.press("Enter")
    page.locator("svg [data-end='B1.p1']").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-of-page=spoken]")).to_have_text("This line is on the piece “back”. End it there.")
    assert len(layout_of(kit).lines) == len(document.layout.lines)
