"""What a person does on the layout page, for the tests of it."""

from __future__ import annotations

from playwright.sync_api import BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from projects.circuit.layout import Layout, Place

__all__ = [
    "NO_SAVES",
    "back_on",
    "bar_saves",
    "chosen",
    "cut_off",
    "drag",
    "finger",
    "layout_of",
    "let_saves",
    "open_plan",
    "opened",
    "place_of",
    "point",
    "put_by",
    "saved",
    "sign_in",
    "spot_of",
    "state",
    "tap",
    "tool",
]

# Where a point of a piece (mm, as seen from the outside) is on the screen: told from the cloth as it is drawn.
POINT = """([piece, x, y]) => {
    const svg = document.querySelector("svg.fabric");
    const pieces = JSON.parse(document.getElementById("layout-data").textContent).pieces;
    const {name, outline} = pieces.find((one) => !piece || one.name === piece);
    const cloth = svg.querySelector(`[data-piece="${name}"] .cloth-piece`);
    const first = cloth.getPointAtLength(0);
    const inside = document.querySelector("[data-set=side][value=inside]").getAttribute("aria-pressed") === "true";
    svg.scrollIntoView({block: "nearest", behavior: "instant"});
    const away = inside ? outline[0][0] - x : x - outline[0][0];
    const at = new DOMPoint(first.x + away, first.y + y - outline[0][1]).matrixTransform(svg.getScreenCTM());
    return [at.x, at.y];
}"""


def sign_in(page: Page, live_server: LiveServer, kit: Kit) -> None:
    page.goto(f"{live_server.url}/join/")
    page.get_by_role("textbox").fill(kit.code)
    page.keyboard.press("Enter")
    page.wait_for_url("**/my-kit/")


def open_plan(page: Page, live_server: LiveServer, kit: Kit) -> None:
    page.goto(f"{live_server.url}/kits/{kit.pk}/layout/")
    page.wait_for_selector("[data-ready]")


# What a page sends through a worker may slip past the browser's own switch, and past a route of the test. So the page's
# own `fetch` fails while a cookie says so, as it does where there is no network.
NO_SAVES = """(() => {
    const sent = window.fetch;
    window.fetch = (to, how) => (/no_saves=1/.test(document.cookie) && how && how.method === "POST"
        ? Promise.reject(new TypeError("cut off")) : sent(to, how));
})()"""


def bar_saves(context: BrowserContext) -> None:
    """From now on nothing that a page sends arrives, in any tab; `NO_SAVES` is an initial script of the context."""
    context.add_cookies([{"name": "no_saves", "value": "1", "url": context.pages[0].url}])


def let_saves(context: BrowserContext) -> None:
    context.clear_cookies(name="no_saves")


def cut_off(context: BrowserContext) -> None:
    """Take the network away."""
    bar_saves(context)
    context.set_offline(True)


def back_on(context: BrowserContext) -> None:
    let_saves(context)
    context.set_offline(False)


def state(page: Page, name: str) -> None:
    """Wait for what the page says of its work: "saved", "kept" (on this device), "refused" …"""
    expect(page.locator("[data-of-page=saved]")).to_have_attribute("data-state", name)


def saved(page: Page) -> None:
    state(page, "saved")


def put_by(page: Page) -> None:
    """Wait until the page says that it can be loaded again with no network: all that it uses was fetched once more."""
    expect(page.locator("[data-of-page=holds]")).to_contain_text("with no network", timeout=30_000)


def layout_of(kit: Kit) -> Layout:
    kit.refresh_from_db()
    return kit.read().layout


def place_of(kit: Kit, ref: str) -> Place:
    return next(place for place in layout_of(kit).places if place.ref == ref)


def spot_of(kit: Kit, ref: str) -> tuple[float, float]:
    place = place_of(kit, ref)
    return place.x, place.y


def point(page: Page, x: float, y: float, piece: str = "") -> tuple[float, float]:
    """Where a point of a piece (mm; the first one unless named) is on the screen."""
    left, top = page.evaluate(POINT, [piece, x, y])
    return left, top


def drag(page: Page, start: tuple[float, float], end: tuple[float, float], piece: str = "", to_piece: str = "") -> None:
    """By mouse, from a point of a piece to another."""
    from_x, from_y = point(page, *start, piece)
    to_x, to_y = point(page, *end, to_piece or piece)
    page.mouse.move(from_x, from_y)
    page.mouse.down()
    page.mouse.move((from_x + to_x) / 2, (from_y + to_y) / 2)
    page.mouse.move(to_x, to_y)
    page.mouse.up()


def finger(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """One finger put down, moved and lifted (screen points), as the browser sees it: it may take it for scrolling."""
    touches = page.context.new_cdp_session(page)
    for i in range(11):
        at = {"x": start[0] + (end[0] - start[0]) * i / 10, "y": start[1] + (end[1] - start[1]) * i / 10}
        kind = "touchMove" if i else "touchStart"
        touches.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [at]})
    touches.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def tap(page: Page, x: float, y: float, piece: str = "") -> None:
    page.mouse.click(*point(page, x, y, piece))


def tool(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def opened(page: Page, name: str) -> None:
    page.locator("summary", has_text=name).click()


def chosen(page: Page, name: str) -> None:
    page.locator("[data-of-page=chosen]").get_by_role("button", name=name).click()
