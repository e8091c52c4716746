"""The page draws in the browser what the sheets are drawn with on the server: both must show the same."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.examples import examples
from kits.models import Kit
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.layout import Side
from projects.drawing import Style, draw_all
from projects.stored import layout_json
from tests.browser.plan_page import drag, open_plan, saved, sign_in, tool
from tests.browser.test_layout_demo import kit_of
from tests.kits.factories import lantern

pytestmark = pytest.mark.django_db(transaction=True)

Point = tuple[float, float]
Drawn = tuple[str, list[Point]]
NEAR = 0.1  # mm

# What the page shows of each piece, mm from the cloth's first corner: {piece: {what: [[x, y], …]}}.
SHOWN = """() => {
  const svg = document.querySelector("svg.fabric"), found = {};
  const on = (node, x, y) => new DOMPoint(x, y).matrixTransform(svg.getCTM().inverse().multiply(node.getCTM()));
  for (const piece of svg.querySelectorAll("[data-piece]")) {
    const all = found[piece.dataset.piece] = {}, first = piece.querySelector(".cloth-piece").getPointAtLength(0);
    const at = (point) => [point.x - first.x, point.y - first.y];
    const pair = /-?[\\d.]+ -?[\\d.]+/g;
  const pairs = (node) => node.getAttribute("d").match(pair).map((one) => one.split(" ").map(Number));
    const read = (node) => pairs(node).map((pair) => at(on(node, ...pair)));
    const centre = (node) => [at(on(node, +node.getAttribute("cx"), +node.getAttribute("cy")))];
    all.cloth = read(piece.querySelector(".cloth-piece"));
    all.seams = [...piece.querySelectorAll(".cloth-seam")].flatMap(read);
    for (const line of piece.querySelectorAll(".line.loose")) {
      all[`loose ${line.dataset.line}`] = read(line.querySelector(".line-core"));
    }
    all.anchors = [...piece.querySelectorAll(".anchors")].flatMap(read);
    for (const badge of piece.querySelectorAll(".badge-on-line")) {
      const name = `badge ${badge.textContent} ${badge.getAttribute("fill")}`;
      (all[name] ||= []).push(...centre(badge.querySelector("circle")));
    }
    for (const line of piece.querySelectorAll(".line-stitches")) {
      const {line: name} = line.parentNode.dataset, dashes = line.getAttribute("stroke-dasharray").split(" ");
      all[`line ${name}`] = read(line);
      all[`ink ${name} ${line.getAttribute("stroke")}`] = [];
      all[`dash ${name}`] = [...dashes, line.getAttribute("stroke-dashoffset")].map(Number);
    }
    for (const part of piece.querySelectorAll(".part")) {
      for (const hole of part.querySelectorAll("[data-terminal] circle:first-child")) {
        all[`hole ${part.dataset.part}.${hole.parentNode.dataset.terminal}`] = centre(hole);
      }
      for (const hole of part.querySelectorAll(":scope > .eyelet")) all[`hole ${part.dataset.part}`] = centre(hole);
    }
    const middle = (node) => {
      const box = node.getBBox();
      return at({x: box.x + box.width / 2, y: box.y + box.height / 2});
    };
    [...piece.querySelectorAll(".cover > path")].forEach((one, i) => {
      all[`cover ${i}`] = [middle(one), [one.getBBox().width, one.getBBox().height]];
    });
    for (const join of piece.querySelectorAll(".join")) all[`join ${join.dataset.join}`] = [middle(join)];
    [...piece.querySelectorAll(".guide")].forEach((one, i) => { all[`guide ${i}`] = read(one); });
  }
  return found;
}"""


def shown_by_server(document: Document, side: Side) -> dict[str, dict[str, list[Point]]]:
    drawn = draw_all(lay_out(document), side=side, style=Style(guides=True))
    return {piece: dict(_read(ElementTree.fromstring(svg))) for piece, svg in drawn.items()}


def _read(root: ElementTree.Element) -> Iterator[Drawn]:
    spaced = "{http://www.w3.org/2000/svg}"
    cloth = next(group for group in root.iter(f"{spaced}g") if "data-cloth" in group.attrib)
    x0, y0 = _points(cloth[0].attrib["d"])[0]
    near = [(x0, y0)]

    def at(points: list[Point]) -> list[Point]:
        return [(x - near[0][0], y - near[0][1]) for x, y in points]

    outline, *seams = [one for one in cloth if one.tag == f"{spaced}path"]
    yield "cloth", at(_points(outline.attrib["d"]))
    yield "seams", at([point for seam in seams for point in _points(seam.attrib["d"])])
    anchors = [one for one in root if one.attrib.get("stroke-width") == "0.45"]
    yield "anchors", at([point for one in anchors for point in _points(one.attrib["d"])])
    yield from _badges(root, spaced, at)
    covers = guides = 0
    for node in root.iter():
        data = node.attrib
        if "data-line" in data and (stitched := [one for one in node if "stroke-dashoffset" in one.attrib]):
            yield f"line {data['data-line']}", at(_points(stitched[0].attrib["d"]))
            yield f"ink {data['data-line']} {stitched[0].attrib['stroke']}", []
            dash, gap = map(float, stitched[0].attrib["stroke-dasharray"].split())
            yield f"dash {data['data-line']}", [dash, gap, float(stitched[0].attrib["stroke-dashoffset"])]  # type: ignore[list-item]
        elif "data-line" in data:
            yield f"loose {data['data-line']}", at(_points(node[0].attrib["d"]))
        elif "data-terminal" in data:
            yield f"hole {data['data-terminal']}", at([(float(node[0].attrib["cx"]), float(node[0].attrib["cy"]))])
        elif "data-cover" in data:
            xs, ys = zip(*_points(node.find(f"{spaced}path").attrib["d"]), strict=True)  # type: ignore[union-attr]
            size = (max(xs) - min(xs), max(ys) - min(ys))
            yield f"cover {covers}", [*at([((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)]), size]
            covers += 1
        elif "data-join" in data:
            yield f"join {data['data-join']}", at([(float(data["cx"]), float(data["cy"]))])
        elif "data-guide" in data:
            yield f"guide {guides}", at(_points(data["d"]))
            guides += 1


def _badges(root: ElementTree.Element, spaced: str, at: Callable[[list[Point]], list[Point]]) -> Iterator[Drawn]:
    """Labels repeated along the lines, by their words and colour: a rounded scrap of cloth with a word on it."""
    found: dict[str, list[Point]] = {}
    for group in root:
        if [one.tag for one in group] == [f"{spaced}rect", f"{spaced}text"]:
            scrap, word = group
            x, y, wide, high = (float(scrap.attrib[name]) for name in ("x", "y", "width", "height"))
            spot = (x + wide / 2, y + high / 2)
            found.setdefault(f"badge {word.text} {word.attrib['fill']}", []).extend(at([spot]))
    yield from found.items()


def _points(d: str) -> list[Point]:
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", d)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def stitches(points: list[Point], dash: list[float]) -> list[Point]:
    """Where each visible stitch of a line begins."""
    total = sum(math.dist(a, b) for a, b in pairwise(points))
    on, off, offset = dash
    starts = [start for i in range(int(total / (on + off)) + 3) if 0 <= (start := i * (on + off) - offset) <= total]
    return [_along(points, start) for start in starts]


def _along(points: list[Point], far: float) -> Point:
    for a, b in pairwise(points):
        step = math.dist(a, b)
        if far <= step and step:
            return (a[0] + (b[0] - a[0]) * far / step, a[1] + (b[1] - a[1]) * far / step)
        far -= step
    return points[-1]


def close(a: list[Point], b: list[Point]) -> bool:
    return len(a) == len(b) and all(math.dist(p, q) <= NEAR for p, q in zip(a, b, strict=True))


def alike(a: list[Point], b: list[Point]) -> bool:
    """The same points, in whatever order they are drawn."""
    left = list(b)
    for point in a:
        nearest = min(left, key=lambda one: math.dist(one, point), default=None)
        if nearest is None or math.dist(nearest, point) > NEAR:
            return False
        left.remove(nearest)
    return not left


def amiss() -> Document:
    """The firefly jar with a part still in the tray, and a line that joins two connections."""
    document = examples()["firefly-jar"]
    layout = document.layout
    places = tuple(place for place in layout.places if place.ref != "R1")
    first, *others = layout.lines
    across = first.model_copy(update={"end": "M1.minus", "via": ((90.0, 60.0),)})
    return document.with_layout(layout.model_copy(update={"places": places, "lines": (across, *others)}))


def half_done() -> Document:
    """The firefly jar with every third line still to sew."""
    document = examples()["firefly-jar"]
    lines = tuple(line for i, line in enumerate(document.layout.lines) if i % 3)
    return document.with_layout(document.layout.model_copy(update={"lines": lines}))


MADE = {"with a cover": lantern, "half done": half_done, "amiss": amiss}


@pytest.mark.parametrize("name", [*sorted(examples()), *MADE])
def test_the_browser_draws_what_the_server_draws(page: Page, live_server: LiveServer, name: str) -> None:
    document = MADE[name]() if name in MADE else examples()[name]
    kit = kit_of(document)
    kit.layout = layout_json(document.layout)
    kit.layout_version = 1
    kit.save()
    sign_in(page, live_server, kit)
    open_plan(page, live_server, kit)
    sides: tuple[Side, ...] = ("outside", "inside")
    for side in sides:
        tool(page, side.capitalize())
        browser, server = page.evaluate(SHOWN), shown_by_server(document, side)
        assert list(browser) == list(server)
        for piece, drawn in server.items():
            here = browser[piece]
            assert guides_of(here) == guides_of(drawn), (name, side, piece)
            assert {what for what in here if not what.startswith("guide")} == {
                what for what in drawn if not what.startswith("guide")
            }, json.dumps([name, side, piece])
            for what, points in drawn.items():
                kind, _, key = what.partition(" ")
                if kind == "dash":
                    ours = stitches(here[f"line {key}"], here[what])
                    assert close(ours, stitches(drawn[f"line {key}"], points)), (side, what)  # type: ignore[arg-type]
                elif kind in ("anchors", "badge", "seams"):
                    assert alike(here[what], points), (side, what, here[what], points)
                elif kind != "guide":
                    assert close(here[what], points), (side, what, here[what], points)


def guides_of(drawn: dict[str, list[Point]]) -> set[frozenset[tuple[int, int]]]:
    """Links still to sew, whichever way round and in whatever order they are drawn; to the millimetre."""
    found = (points for what, points in drawn.items() if what.startswith("guide"))
    return {frozenset((round(x), round(y)) for x, y in points) for points in found}


def test_the_cloth_fills_its_room_whenever_that_comes(plan: Page, complaints: list[str]) -> None:
    """Styles that come late, or a scroll bar, change the room without a word from the window."""
    left, cloth = plan.locator(".layout-left"), plan.locator("svg.fabric")
    left.evaluate("one => { one.style.display = 'none'; }")
    plan.set_viewport_size({"width": 1100, "height": 800})
    left.evaluate("one => { one.style.display = ''; one.style.width = '400px'; }")
    expect(cloth).to_have_attribute("width", "398")  # its frame has a border of 1
    expect(cloth).to_have_attribute("viewBox", re.compile(r"^[\d.-]+( [\d.-]+){3}$"))
    assert complaints == []


def test_a_plan_that_cannot_be_changed_offers_no_tools_for_it(
    page: Page, live_server: LiveServer, laid_out: Kit, complaints: list[str]
) -> None:
    project = {**laid_out.revision.document["project"], "learner_may": "nothing"}
    laid_out.document = {**laid_out.revision.document, "project": project}
    laid_out.save()
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    expect(page.locator("[data-of-page=chosen]")).to_have_text("This plan is fixed. Your teacher has made it.")
    tools = page.get_by_role("toolbar").get_by_role("button")
    assert tools.all_inner_texts() == ["Outside", "Inside", "−", "+", "Fit"]
    drag(page, (110, 85), (120, 95))
    page.locator("svg [data-part=S1]").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Control+z")
    saved(page)
    laid_out.refresh_from_db()
    assert laid_out.layout_version == 1
    assert complaints == []
