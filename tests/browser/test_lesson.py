"""The whole lesson once, by two people in two browsers: set up, lay out, refused, mended, handed in, sewn, printed."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.examples import examples
from kits.models import Event, Kit, Workshop
from kits.plan.make import make_plan
from kits.plan.values import Reading
from kits.services.publish import publish
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.layout import Line
from projects.importing import import_project
from tests.browser.plan_page import open_plan, saved, tool
from tests.browser.test_layout_demo import lay, sew
from tests.kits.factories import make_user
from tests.kits.pdf_reading import DPMM, longest_runs, page_sizes_mm, pictures_of, words

pytestmark = pytest.mark.django_db(transaction=True)

# From the switch up over the plus line and back down to the holder: bare thread that crosses the plus line twice.
ASTRAY = ((70.0, 85.0), (70.0, 20.0), (80.0, 20.0), (80.0, 66.0))


@pytest.fixture
def lantern() -> Document:
    document = examples()["lantern-patch"]
    publish(import_project(make_user("orla"), document))
    return document


@pytest.fixture
def learner(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1500, "height": 1100})
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()


def sign_in(teacher: Page, site: str) -> None:
    teacher.goto(f"{site}/sign-in/")
    teacher.locator("[name=username]").fill("orla")
    teacher.locator("[name=password]").fill("orla-pass-word")
    teacher.keyboard.press("Enter")
    teacher.wait_for_url(f"{site}/")


def set_up(teacher: Page, site: str) -> Workshop:
    """A class of one kit, with a name on it."""
    teacher.goto(f"{site}/workshops/new/")
    teacher.get_by_label("Name of the class").fill("Tuesday patchers")
    teacher.locator("[name=kits]").first.fill("1")
    teacher.get_by_label("Name of the class").press("Enter")
    teacher.wait_for_url(re.compile(r"/workshops/\d+/"))
    workshop = Workshop.objects.get(title="Tuesday patchers")
    teacher.goto(f"{site}/workshops/{workshop.pk}/learners/")
    teacher.get_by_label("Names, one a line").fill("Wren")
    teacher.get_by_role("button", name="Add names").click()
    expect(teacher.locator("main")).to_contain_text("Wren")
    assert workshop.kits.get().learners.get().display_name == "Wren"
    return workshop


def join(learner: Page, site: str, kit: Kit) -> None:
    learner.goto(f"{site}/join/")
    learner.get_by_role("textbox").fill(kit.shown_code.lower())
    learner.keyboard.press("Enter")
    learner.wait_for_url("**/my-kit/")


def plan_goes_astray_and_is_mended(learner: Page, live_server: LiveServer, kit: Kit, document: Document) -> None:
    open_plan(learner, live_server, kit)
    tool(learner, "Grid")
    for place in document.layout.places:
        lay(learner, place)
    tool(learner, "Line")
    spots = lay_out(document).spots
    *others, last = sorted(document.layout.lines, key=lambda line: line.start == "S1.a")
    for line in others:
        sew(learner, line, spots)
    sew(learner, last.model_copy(update={"via": ASTRAY}), spots)
    saved(learner)
    findings = learner.locator("[data-of-page=findings]")
    expect(findings).to_contain_text("put this right")
    expect(learner.locator("svg.fabric [data-finding]").first).to_be_visible()
    # Handing it in is refused, in words, and nothing is lost.
    learner.locator("[data-of-page=hand-in]").evaluate("form => form.submit()")
    learner.wait_for_load_state()
    assert kit.submissions.count() == 0
    assert len(Kit.objects.get(pk=kit.pk).read().layout.lines) == len(document.layout.lines)
    mended(learner, live_server, kit, last, document)


def mended(learner: Page, live_server: LiveServer, kit: Kit, line: Line, document: Document) -> None:
    open_plan(learner, live_server, kit)
    name = kit_line(kit, line)
    learner.locator("summary", has_text="Lines").click()
    learner.locator(f"[data-key='row line {name}']").click()
    learner.get_by_role("button", name="Take this line out").first.click()
    tool(learner, "Line")
    sew(learner, line, lay_out(document).spots)
    saved(learner)
    expect(learner.locator("[data-of-page=hand-in-why]")).to_have_text("Ready to hand in.")
    learner.get_by_role("button", name="Hand in my plan").click()
    expect(learner.locator("main")).to_contain_text("Your plan is handed in.")
    assert kit.submissions.count() == 1


def kit_line(kit: Kit, line: Line) -> str:
    lines = Kit.objects.get(pk=kit.pk).read().layout.lines
    return next(one.name for one in lines if {one.start, one.end} == {line.start, line.end})


def accept(teacher: Page, site: str, kit: Kit) -> None:
    teacher.goto(f"{site}/kits/{kit.pk}/")
    teacher.get_by_role("link", name="Look at it").click()
    teacher.get_by_role("button", name="Accept").click()
    teacher.wait_for_load_state()


def look(teacher: Page, site: str, kit: Kit) -> None:
    """Signs off the look that the kit waits for."""
    teacher.goto(f"{site}/kits/{kit.pk}/")
    teacher.get_by_role("button", name="Looked at, good").first.click()
    teacher.wait_for_load_state()


def ask_and_get_help(learner: Page, teacher: Page, site: str, workshop: Workshop) -> None:
    teacher.goto(f"{site}/workshops/{workshop.pk}/")
    learner.get_by_placeholder("What is it about?").fill("my knot")
    learner.get_by_role("button", name="Ask for help").click()
    expect(teacher.locator("main")).to_contain_text("my knot", timeout=15_000)
    teacher.get_by_role("button", name="Helped").first.click()
    expect(teacher.locator("main")).not_to_contain_text("my knot")


def sew_it_all(learner: Page, teacher: Page, site: str, kit: Kit, readings: dict[str, Reading]) -> int:
    """Every step: ticked, measured with what the plan expects, or looked at by the teacher. How many were measured."""
    measured = 0
    for _ in range(200):
        learner.goto(f"{site}/my-kit/sewing/")
        step = learner.locator("#sewing")
        if step.get_by_text("All steps are done").count():
            return measured
        if step.get_by_role("button", name="Check it").count():
            reading = readings[step.locator("form [name=step]").first.input_value()]
            if reading.max is None and reading.expected is None:
                step.get_by_role("button", name="It shows OL or 1").click()
            else:
                step.locator("[name=value]").fill(f"{reading.expected or reading.min:.2f}")
                step.get_by_role("button", name="Check it").click()
            measured += 1
            learner.wait_for_timeout(150)
        elif step.get_by_role("button", name="Done").count():
            with learner.expect_response("**/my-kit/sewing/step/"):
                step.get_by_role("button", name="Done").click()
        else:
            look(teacher, site, kit)
    raise AssertionError(f"no end: {learner.locator('#sewing').inner_text()}")


def test_the_lesson_from_sign_in_to_pdf(
    page: Page, learner: Page, live_server: LiveServer, lantern: Document, complaints: list[str]
) -> None:
    site, teacher = live_server.url, page
    sign_in(teacher, site)
    workshop = set_up(teacher, site)
    kit = workshop.kits.get()
    join(learner, site, kit)
    plan_goes_astray_and_is_mended(learner, live_server, kit, lantern)
    accept(teacher, site, kit)
    learner.goto(f"{site}/my-kit/")
    ask_and_get_help(learner, teacher, site, workshop)
    plan = make_plan(Kit.objects.get(pk=kit.pk).submissions.get().read())
    assert sew_it_all(learner, teacher, site, kit, {one.key: one for one in plan.readings}) >= 3
    learner.goto(f"{site}/my-kit/")
    expect(learner.locator("main")).to_contain_text("finished")
    teacher.goto(f"{site}/workshops/{workshop.pk}/")
    expect(teacher.locator("main")).to_contain_text("finished")
    assert Event.objects.filter(kit=kit, kind="help-given").count() == 1
    sheet_is_right(teacher, site, kit)
    assert complaints == []


def sheet_is_right(teacher: Page, site: str, kit: Kit) -> None:
    """The step sheet that the browser gets, read back: its words, its paper, its drawing in millimetres."""
    answer = teacher.request.get(f"{site}/kits/{kit.pk}/step-sheet.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    pdf = answer.body()
    text = words(pdf)
    plan = make_plan(kit.submissions.get().read())
    for run in plan.runs:
        assert f"{-(-run.cut_mm // 10):.0f} cm" in text
    assert "Wren" in text
    assert "Kit 1" in text
    assert page_sizes_mm(pdf)[0] == pytest.approx((210, 297), abs=0.1)
    # The front is 160 mm wide and drawn at true size: its upper edge is an unbroken stroke of that length.
    runs = [run for picture in pictures_of(pdf) for run in longest_runs((picture < 200).any(axis=2))]
    assert any(run / DPMM == pytest.approx(160, abs=0.6) for run in runs)
