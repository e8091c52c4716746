"""A teacher makes a project in a real browser: the demo's second one, from nothing, through the pages."""

from __future__ import annotations

import json

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from playwright.sync_api import Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.demo.examples import examples
from projects.circuit.document import Document
from projects.models import Project
from tests.kits.factories import make_project, make_user, teacher_client

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (360, 1280)
STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture
def teacher(page: Page, live_server: LiveServer) -> Page:
    """The browser of a teacher who is signed in."""
    client = teacher_client(make_user("ida"))
    cookies = [{"name": c.key, "value": c.value, "url": live_server.url} for c in client.cookies.values()]
    page.context.add_cookies(cookies)  # type: ignore[arg-type]
    page.on("dialog", lambda dialog: dialog.accept())
    return page


class Editor:
    """The pages of one project, as a teacher uses them; every edit waits until the page shows it."""

    def __init__(self, page: Page, url: str) -> None:
        self.page, self.url = page, url

    @property
    def project(self) -> Project:
        return Project.objects.get()

    def open(self, section: str) -> None:
        self.page.goto(f"{self.url}/projects/{self.project.pk}/{section}/")

    def version(self) -> int:
        return self.project.newest().layout_version

    def send(self, form: Locator, button: str | None = None) -> None:
        """Press the form's button and wait until the draft has a new version, and the page shows that one."""
        before = self.version()
        (form.get_by_role("button", name=button) if button else form.locator("button")).first.click()
        self.shows(before + 1)

    def shows(self, version: int) -> None:
        expect(self.page.locator("#section input[name=version]").first).to_have_value(str(version))

    def tap(self, first: str, second: str) -> None:
        before = self.version()
        self.page.locator(f'[data-terminal="{first}"]').click()
        expect(self.page.locator("#tapped")).to_contain_text(first)
        self.page.locator(f'[data-terminal="{second}"]').click()
        self.shows(before + 1)

    def form(self, what: str) -> Locator:
        return self.page.locator(f'form[data-edit="{what}"]')


def begin(page: Page, url: str, document: Document) -> Editor:
    """Title, cell and the first piece, its outline drawn point by point in the field."""
    piece = document.project.pieces[0]
    page.goto(f"{url}/projects/")
    page.get_by_role("link", name="A new project").click()
    page.get_by_label("Title").fill(document.project.title)
    page.get_by_label("Cell").select_option("coin-holder")
    page.get_by_label("Name of the first piece").fill(piece.name)
    page.get_by_label("Shape").select_option("polygon")
    expect(page.get_by_label("Width, mm")).to_be_hidden()
    page.get_by_label("Points, mm").fill("\n".join(f"{x:g}, {y:g}" for x, y in piece.outline))
    page.get_by_label("Seam allowance, mm").fill(f"{piece.seam_allowance:g}")
    page.get_by_role("button", name="Make the project").click()
    page.wait_for_url("**/edit/circuit/")
    return Editor(page, url)


def test_project_two_of_the_demo_is_made_from_nothing(
    teacher: Page, live_server: LiveServer, complaints: list[str]
) -> None:
    wanted = examples()["firefly-jar"]
    editor = begin(teacher, live_server.url, wanted)
    for part in wanted.project.parts[1:]:
        editor.form("add-part").get_by_label("Part").select_option(part.type)
        editor.form("add-part").get_by_label("Short name").fill(part.ref)
        editor.send(editor.form("add-part"))
    for connection in wanted.project.connections:
        first, *others = connection.terminals
        for terminal in others:
            editor.tap(first, terminal)
        row = teacher.locator("li", has=teacher.get_by_text("Rename c1", exact=True))  # the page's own name for it
        row.get_by_text("Rename c").click()
        row.get_by_label("Name").fill(connection.name)
        editor.send(row.locator('form[data-edit="rename-connection"]'))
    pins = editor.form("pin-uses")
    for pin, use in wanted.project.pins.items():
        pins.locator(f'select[name="{pin}"]').select_option(use)
    editor.send(pins)
    _what_learners_may(editor, wanted)
    _supplies(editor, wanted)
    _example(editor, teacher, wanted)
    _criteria(editor, wanted)

    made = editor.project.newest().read()
    assert made == wanted
    teacher.get_by_role("link", name="← Firefly jar").click()
    expect(teacher.get_by_text("The check holds nothing back")).to_be_visible(timeout=10_000)
    teacher.get_by_role("button", name="Publish revision 1").click()
    expect(teacher.get_by_text("Published. Classes can use it now.")).to_be_visible()
    assert not editor.project.newest().is_draft
    assert complaints == []


def _what_learners_may(editor: Editor, wanted: Document) -> None:
    editor.open("edit/learners")
    editor.page.get_by_label("That, and parts from the lists below").check()
    editor.send(editor.form("learner-may"))
    for ref, names in wanted.project.swaps.items():
        form = editor.page.locator("form[data-edit=swaps]", has=editor.page.locator(f'input[name=part][value="{ref}"]'))
        for name in names:
            form.locator(f'input[value="{name}"]').check()
        editor.send(form)


def _supplies(editor: Editor, wanted: Document) -> None:
    editor.open("edit/supplies")
    for supply in wanted.project.supplies:
        form = editor.form("add-supply")
        form.get_by_label("What", exact=True).fill(supply.name)
        form.get_by_label("Amount").fill(f"{supply.amount:g}")
        form.get_by_label("Unit", exact=True).fill(supply.unit)
        form.get_by_label("For each").select_option(supply.per)
        form.get_by_label("Price of one unit").fill(f"{supply.price:g}")
        editor.send(form)


def _criteria(editor: Editor, wanted: Document) -> None:
    editor.open("stages")
    form = editor.page.locator("#add-criterion")
    for criterion in wanted.project.criteria:
        form.get_by_label("Stage").select_option(criterion.stage)
        form.get_by_label("What is marked").fill(criterion.text)
        editor.send(form)


def _example(editor: Editor, page: Page, wanted: Document) -> None:
    """The example as its own page sends it; how lines are drawn there is tested with that page."""
    body = json.dumps({"version": editor.version(), "layout": wanted.layout.model_dump(mode="json")})
    address = f"{editor.url}/projects/{editor.project.pk}/layout/save/"
    token = next(c["value"] for c in page.context.cookies() if c["name"] == "csrftoken")
    headers = {"X-CSRFToken": token, "Content-Type": "application/json", "Referer": editor.url}
    assert page.request.post(address, data=body, headers=headers).status == 200


def test_terminals_are_joined_by_keyboard_alone_and_undone(
    teacher: Page, live_server: LiveServer, complaints: list[str]
) -> None:
    editor = begin(teacher, live_server.url, examples()["firefly-jar"])
    editor.form("add-part").get_by_label("Part").select_option("light-red")
    editor.send(editor.form("add-part"))
    teacher.locator('[data-terminal="B1.p1"]').focus()
    teacher.keyboard.press("Enter")
    expect(teacher.locator('[data-terminal="B1.p1"]')).to_have_attribute("aria-pressed", "true")
    teacher.locator('[data-terminal="L1.plus"]').focus()
    teacher.keyboard.press(" ")
    expect(teacher.locator(".chip").first).to_contain_text("B1.p1")
    expect(teacher.locator('[data-terminal="L1.plus"]')).to_be_focused()
    assert editor.project.newest().read().project.connections[0].terminals == ("B1.p1", "L1.plus")
    teacher.get_by_role("button", name="Take L1.plus out").click()
    expect(teacher.locator(".chip")).to_have_count(0)
    expect(teacher.get_by_text("took L1.plus out")).to_be_visible()
    teacher.get_by_role("button", name="Undo it").click()
    expect(teacher.locator(".chip")).to_have_count(2)
    teacher.get_by_role("button", name="Do it again").click()
    expect(teacher.locator(".chip")).to_have_count(0)
    assert complaints == []


def test_a_refusal_and_a_conflict_show_where_one_works_and_keep_what_was_typed(
    teacher: Page, live_server: LiveServer
) -> None:
    editor = begin(teacher, live_server.url, examples()["firefly-jar"])
    editor.form("add-part").get_by_label("Part").select_option("light-red")
    editor.form("add-part").get_by_label("Short name").fill("not a name")
    editor.form("add-part").locator("button").click()
    failed = teacher.locator(".failed")
    expect(failed).to_contain_text("project.parts[1].ref")
    expect(failed.get_by_label("Short name")).to_have_value("not a name")
    failed.get_by_label("Short name").fill("Moon")
    editor.send(failed)
    other = teacher.context.new_page()
    other.goto(teacher.url)
    elsewhere = Editor(other, live_server.url)
    elsewhere.form("add-part").get_by_label("Part").select_option("slide-switch")
    elsewhere.send(elsewhere.form("add-part"))
    editor.form("add-part").get_by_label("Part").select_option("light-blue")
    editor.form("add-part").locator("button").click()
    expect(teacher.get_by_role("heading", name="The draft was changed elsewhere")).to_be_visible()
    teacher.get_by_role("button", name="Make my edit to the draft as it is now").click()
    expect(teacher.locator('[data-part="L1"]')).to_be_visible()
    assert [part.ref for part in editor.project.newest().read().project.parts] == ["B1", "Moon", "S1", "L1"]


def test_an_outline_is_drawn_by_tapping(teacher: Page, live_server: LiveServer, complaints: list[str]) -> None:
    teacher.goto(f"{live_server.url}/projects/new/")
    teacher.get_by_label("Title").fill("Kite")
    teacher.get_by_label("Shape").select_option("polygon")
    board = teacher.locator(".outline-board")
    box = board.bounding_box()
    assert box is not None
    side = box["width"]  # 320 mm across, from -10
    for x, y in ((100, 20), (180, 100), (100, 250), (20, 100)):
        board.click(position={"x": (x + 10) / 320 * side, "y": (y + 10) / 320 * side})
    teacher.get_by_role("button", name="Make the project").click()
    teacher.wait_for_url("**/edit/circuit/")
    (piece,) = Project.objects.get().newest().read().project.pieces
    for drawn, meant in zip(piece.outline, ((100, 20), (180, 100), (100, 250), (20, 100)), strict=True):
        assert drawn == pytest.approx(meant, abs=2)
    assert complaints == []


def test_a_part_type_is_copied_relabelled_and_drawn_as_one_types(
    teacher: Page, live_server: LiveServer, complaints: list[str]
) -> None:
    editor = begin(teacher, live_server.url, examples()["firefly-jar"])
    editor.open("edit/part-types")
    teacher.get_by_role("link", name="Copy and change: Sew-on light, red").click()
    expect(teacher.locator("#part-drawing svg")).to_be_visible()
    expect(teacher.get_by_text("Saturation current, A")).to_be_visible()
    teacher.get_by_label("What it is called").fill("Ruby light")
    teacher.locator("[name=terminals-0-label]").fill("P")
    expect(teacher.locator("#part-drawing svg")).to_contain_text("Ruby light")
    expect(teacher.locator("#part-drawing svg text").first).to_have_text("P")
    teacher.get_by_label("Width, mm").fill("")
    expect(teacher.locator("#part-drawing")).to_contain_text("No drawing yet")
    teacher.get_by_label("Width, mm").fill("14")
    teacher.get_by_role("button", name="One more row").click()
    teacher.get_by_role("button", name="Keep this part type").click()
    expect(teacher.locator(".part-cards strong").first).to_have_text("Ruby light")
    (own,) = editor.project.newest().read().project.part_types
    assert (own.type, own.terminals[0].label) == ("own-light-red", "P")
    assert complaints == []


def test_every_page_is_sound_at_every_width(teacher: Page, live_server: LiveServer, complaints: list[str]) -> None:
    project = make_project(User.objects.get(username="ida"))
    sections = ["circuit", "fabric", "part-types", "learners", "supplies"]
    addresses = [f"/projects/{project.pk}/edit/{section}/" for section in sections]
    addresses += [f"/projects/{project.pk}/{rest}" for rest in ("", "stages/", "part-type/?like=controller-5")]
    addresses += ["/projects/", "/projects/new/"]
    for width in WIDTHS:
        teacher.set_viewport_size({"width": width, "height": 800})
        for address in addresses:
            teacher.goto(f"{live_server.url}{address}")
            teacher.wait_for_load_state("networkidle")
            assert teacher.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), (address, width)
            found = Axe().run(teacher, options={"runOnly": STANDARDS}).response["violations"]
            assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == [], (address, width)
    assert complaints == []
