"""The layout page: from finger up to findings in a real browser, and saves of a whole class at once on SQLite.

A learner at work changes something every few seconds (PACE); 32 at once means 32 who do, not 32 in one instant.

Run by itself with `python -m tests.bench layout_page`.
"""

from __future__ import annotations

import datetime
import shutil
import time

from django.conf import settings
from playwright.sync_api import Page, sync_playwright

from kits.demo.examples import examples
from kits.models import Kit, Workshop
from kits.services.create_workshop import create_workshop
from kits.services.publish import publish
from projects.importing import import_project
from projects.stored import layout_json
from tests.bench.measure import Measure
from tests.bench.served import Learner, quantile, served, together
from tests.kits.factories import make_user

__all__ = ["measure"]

CLASS = 32
OTHERS = 30
PACE = 4.0  # seconds between two changes of one learner
DRAGS = 12
SAVES_ALONE = 40
SECONDS = 24.0

# Notes when a finger goes up and when the findings that follow are there.
WATCH = """() => {
    window.taken = [];
    let up = 0;
    document.addEventListener("pointerup", () => { up = performance.now(); }, true);
    new MutationObserver(() => { if (up) { window.taken.push(performance.now() - up); up = 0; } })
        .observe(document.querySelector("[data-of-page=findings]"), {childList: true});
}"""


def measure() -> list[Measure]:
    """Seconds from finger up to findings, 95 in 100, and how saves of a class compare with those of one."""
    owner = make_user("bench-layout")
    classes = {name: _class(owner.pk, name) for name in examples()}
    shown = {name: Learner(workshop.kits.latest("number")) for name, workshop in classes.items()}
    everyone = [Learner(kit) for kit in classes["firefly-jar"].kits.order_by("number")[:CLASS]]
    with served() as address:
        alone = _drags_of_all(address, shown)
        with together(everyone[:OTHERS], address, PACE, 3 * DRAGS * 0.9):
            busy = _drags_of_all(address, shown)
        one, at_once, errors, lost = _saves(address, everyone)
    return [
        Measure("finger up to findings, demo layouts, alone, p95", quantile(alone, 0.95), 0.5, "s"),
        Measure(f"finger up to findings with {OTHERS} learners at it, p95", quantile(busy, 0.95), 0.5, "s"),
        Measure(f"save of a layout, p95, {CLASS} at once on SQLite against one alone", at_once / one, 4.0, "times"),
        Measure(f"errors of {CLASS} at once", errors, 0, "saves"),
        Measure(f"layouts lost of {CLASS} at once", lost, 0, "layouts"),
    ]


def _class(owner: int, name: str) -> Workshop:
    """A class whose kits all have the example layout, one kit more than who works at once."""
    document = examples()[name]
    user = make_user(f"bench-layout-{name}")
    revision = publish(import_project(user, document))
    workshop = create_workshop(user, f"Class {owner} {name}", "Hall", revision, CLASS + 1, datetime.date.today(), 90)
    Kit.objects.filter(workshop=workshop).update(layout=layout_json(document.layout), layout_version=1)
    return workshop


def _drags_of_all(address: str, shown: dict[str, Learner]) -> list[float]:
    """Seconds of each drag on each of the layouts, in a browser of their own."""
    with sync_playwright() as playwright:
        chromium = shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        taken: list[float] = []
        for learner in shown.values():
            context = browser.new_context(viewport={"width": 1024, "height": 768})
            cookie = {"name": settings.SESSION_COOKIE_NAME, "value": learner.cookie, "url": f"http://{address}"}
            context.add_cookies([cookie])  # type: ignore[list-item]
            page = context.new_page()
            page.goto(f"http://{address}/kits/{learner.kit.pk}/layout/")
            page.wait_for_selector("[data-ready]")
            page.evaluate(WATCH)
            taken += _drags(page)
            context.close()
        browser.close()
    return taken


def _drags(page: Page) -> list[float]:
    """A part moved to and fro by a fifth of a hand, as often as DRAGS says; seconds each until its findings."""
    for number in range(1, DRAGS + 1):
        box = page.locator("svg.fabric [data-part=S1] > .touch").bounding_box()
        assert box
        x, y, far = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, 16 if number % 2 else -16
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + far, y, steps=3)
        page.mouse.up()
        page.wait_for_function("count => window.taken.length >= count", arg=number)
    return [milliseconds / 1000 for milliseconds in page.evaluate("window.taken")]


def _saves(address: str, everyone: list[Learner]) -> tuple[float, float, int, int]:
    """p95 of one learner alone and of all at once (seconds), errors, and layouts that are not as last saved."""
    first = everyone[0]
    first.seconds.clear()
    for _ in range(SAVES_ALONE):
        first.save(address)
        time.sleep(0.05)
    one = quantile(first.seconds, 0.95)
    for learner in everyone:
        learner.seconds.clear()
    with together(everyone, address, PACE, SECONDS):
        pass
    taken = [seconds for learner in everyone for seconds in learner.seconds]
    errors = sum(learner.errors for learner in everyone)
    return one, quantile(taken, 0.95), errors, sum(learner.lost(address) for learner in everyone)
