"""A learner's plan in a real browser, by mouse: parts, lines, bends, meeting points, sides, and a closer look."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import chosen, drag, layout_of, open_plan, saved, sign_in, tap, tool
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
