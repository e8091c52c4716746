"""Each layout of the demo drawn from nothing, as a person would, ending with the same project file."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.examples import examples
from kits.models import Kit
from kits.services.create_workshop import create_workshop
from kits.services.publish import publish
from projects.circuit.document import Document
from projects.circuit.fabric import Spot, lay_out
from projects.circuit.layout import Line, Place
from projects.importing import import_project
from projects.stored import document_json
from tests.browser.plan_page import chosen, open_plan, point, saved, sign_in, tool
from tests.kits.factories import make_user

pytestmark = pytest.mark.django_db(transaction=True)


def kit_of(document: Document) -> Kit:
    """A kit that makes a project, with nothing laid out yet."""
    owner = make_user("orla")
    revision = publish(import_project(owner, document))
    return create_workshop(owner, "Drawing", "Hall", revision, 1, datetime.date.today(), 90).kits.get()


def lay(page: Page, place: Place) -> None:
    """Drag a part out of the tray to its place, then turn it and put it on its side."""
    key = f"{place.ref}.{place.terminal}" if place.terminal else place.ref
    page.locator(f"[data-key='tray {key}']").hover()
    to = point(page, place.x, place.y, place.piece)
    page.mouse.down()
    page.mouse.move(*to, steps=4)
    page.mouse.up()
    for _ in range(int(place.turn // 90)):
        chosen(page, "Turn right by 90")
    if place.side == "inside":
        chosen(page, "Put it inside")


def tap_close(page: Page, x: float, y: float, piece: str) -> None:
    """Look closer at a point, so that a finger tells it from its neighbours, and tap it."""
    tool(page, "Fit")
    page.mouse.move(*point(page, x, y, piece))
    page.mouse.wheel(0, -1200)
    expect(page.locator("svg.fabric.closer")).to_be_visible()
    page.mouse.click(*point(page, x, y, piece))


def sew(page: Page, line: Line, spots: Mapping[str, Spot]) -> None:
    """Tap the hole where a line starts, its bends, and the hole where it ends."""
    ends = [(spots[end].x, spots[end].y) for end in (line.start, line.end)]
    for x, y in (ends[0], *line.via, ends[1]):
        tap_close(page, x, y, line.piece)


@pytest.mark.parametrize("name", sorted(examples()))
def test_drawn_from_nothing_a_demo_layout_is_the_same_project_file(
    page: Page, live_server: LiveServer, name: str, complaints: list[str]
) -> None:
    document = examples()[name]
    kit = kit_of(document)
    sign_in(page, live_server, kit)
    page.set_viewport_size({"width": 1500, "height": 1100})
    open_plan(page, live_server, kit)
    tool(page, "Grid")
    for place in document.layout.places:
        lay(page, place)
    tool(page, "Line")
    spots = lay_out(document).spots
    for line in document.layout.lines:
        sew(page, line, spots)
    saved(page)
    kit.refresh_from_db()
    assert document_json(kit.read()) == document_json(document)
    expect(page.locator("[data-of-page=hand-in-why]")).to_have_text("Ready to hand in.")
    for _ in document.layout.lines:  # and all of it can be taken back, up to the parts
        page.get_by_role("button", name="Undo").click()
    saved(page)
    kit.refresh_from_db()
    assert kit.read().layout.lines == ()
    assert kit.read().layout.places == document.layout.places
    assert complaints == []
