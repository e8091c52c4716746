"""The pages on which a project is made: edits, what refuses and what comes too late, undo, fabric."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from kits.services.publish import publish
from projects.circuit.editing.facts import set_title
from projects.drafts import KEPT_STEPS, change_draft, last_step, last_undone, undo_last
from projects.edits import EDITS
from projects.models import Project
from tests.kits.factories import lantern, make_project, make_user, teacher_client
from tests.kits.project_edits import SECTIONS, edit

pytestmark = pytest.mark.django_db


@pytest.fixture
def project() -> Project:
    return make_project(make_user("teacher"), published=False)


@pytest.fixture
def client(project: Project) -> Client:
    return teacher_client(project.owner)


def connections(project: Project) -> dict[str, tuple[str, ...]]:
    return {one.name: one.terminals for one in project.newest().read().project.connections}


def html(client: Client, project: Project, section: str) -> str:
    return client.get(reverse("projects:section", args=[project.pk, section])).content.decode()


BEGIN = {
    "title": "Moon",
    "cell": "aaa-pack",
    "piece": "front",
    "shape": "circle",
    "diameter": 140,
    "seam_allowance": 6,
}
"""What begins a project."""


# --- Edits -----------------------------------------------------------------------------------------------
def test_a_project_begins_with_a_title_a_piece_and_a_cell() -> None:
    client = teacher_client(make_user("teacher"))
    answer = client.post(reverse("projects:new"), BEGIN)
    project = Project.objects.get()
    assert answer["Location"] == reverse("projects:section", args=[project.pk, "circuit"])
    document = project.newest().read()
    assert (document.project.title, document.project.parts[0].type) == ("Moon", "aaa-pack")
    assert document.project.pieces[0].seam_allowance == 6
    assert project.newest().is_draft


@pytest.mark.parametrize(
    "wrong",
    [
        {"diameter": ""},
        {"title": ""},
        {"piece": "1 x"},
        {"seam_allowance": 90},
        {"cell": "light-red"},
        {"diameter": -3},
    ],
)
def test_a_project_that_cannot_begin_keeps_what_was_typed(wrong: dict[str, Any]) -> None:
    client = teacher_client(make_user("teacher"))
    answer = client.post(reverse("projects:new"), {**BEGIN, **wrong})
    assert answer.status_code == 400
    assert "invalid-feedback" in answer.content.decode()
    assert not Project.objects.exists()


def test_two_taps_join_and_two_more_take_out(client: Client, project: Project) -> None:
    edit(client, project, "add-part", type="light-red")
    assert edit(client, project, "join", first="B1.p1", second="L2.plus").status_code == 302
    assert connections(project)["plus"] == ("B1.p1", "B1.p2", "L1.plus", "L2.plus")
    edit(client, project, "join", first="B1.p1", second="L2.plus")
    assert connections(project)["plus"] == ("B1.p1", "B1.p2", "L1.plus")


def test_drawing_and_table_show_the_same(client: Client, project: Project) -> None:
    page = html(client, project, "circuit")
    for part in lantern().project.parts:
        assert f'data-part="{part.ref}"' in page
    for joined in lantern().project.connections:
        for terminal in joined.terminals:
            assert f'data-terminal="{terminal}" data-connection="{joined.name}"' in page
            assert f'<span class="chip">{terminal}' in page


def test_a_controllers_pins_are_used_by_their_abilities(client: Client, project: Project) -> None:
    edit(client, project, "add-part", type="controller-5")
    answer = edit(client, project, "pin-uses", part="M1", **{"M1.a1": "fade", "M1.a3": "touch"})
    assert answer.status_code == 302
    assert project.newest().read().project.pins == {"M1.a1": "fade", "M1.a3": "touch"}
    assert edit(client, project, "pin-uses", part="M1", **{"M1.a1": "touch"}).status_code == 400


def test_every_edit_has_its_page_and_answers_nothing_typed_with_a_form(client: Client, project: Project) -> None:
    for what, form in EDITS.items():
        answer = client.post(reverse("projects:edit", args=[project.pk, what]), {})
        assert answer.status_code == 400, what
        assert "invalid-feedback" in answer.content.decode(), what
        assert form.section in SECTIONS
    assert project.newest().read() == lantern()
    assert client.post(reverse("projects:edit", args=[project.pk, "nothing"]), {}).status_code == 404
    assert client.get(reverse("projects:section", args=[project.pk, "nothing"])).status_code == 404


@pytest.mark.parametrize("value", ["\x00", "x" * 100_000, "-1", "1e999", "nan", "<script>", "%s %(a)s {0}", "９"])
def test_whatever_is_typed_is_never_a_server_error(client: Client, project: Project, value: str) -> None:
    version = project.newest().layout_version
    for what, form in EDITS.items():
        names = form(project, project.newest().read(), initial={"part": "L1"}).fields
        data = {**dict.fromkeys(names, value), "version": version, "terminals-TOTAL_FORMS": value, "shape": "polygon"}
        answer = client.post(reverse("projects:edit", args=[project.pk, what]), data)
        assert answer.status_code in (302, 400, 409), what
        assert "<script>alert" not in answer.content.decode()
        version = project.newest().layout_version


def test_a_refused_edit_shows_place_reason_and_what_was_typed(client: Client, project: Project) -> None:
    answer = edit(client, project, "rename-part", part="L1", ref="not a name")
    page = answer.content.decode()
    assert answer.status_code == 400
    assert 'value="not a name"' in page
    assert "project.parts[1].ref" in page
    assert "a letter, then up to 31 letters" in page


# --- Two pages open --------------------------------------------------------------------------------------
def test_an_edit_that_comes_too_late_is_a_choice_and_nothing_is_lost(client: Client, project: Project) -> None:
    edit(client, project, "add-part", type="light-red", version=0)
    late = edit(client, project, "title", title="Lamp & moon", version=0)
    page = late.content.decode()
    assert late.status_code == 409
    assert "added a part: light-red" in page
    assert 'name="title" value="Lamp &amp; moon"' in page
    assert Project.objects.get().title == "Lantern patch"
    again = edit(client, project, "title", title="Lamp & moon", version=late.context["version"])
    assert again.status_code == 302
    assert Project.objects.get().title == "Lamp & moon"
    assert len(project.newest().read().project.parts) == 4


def test_the_layout_page_and_the_editor_see_each_other(client: Client, project: Project) -> None:
    layout = {"version": 0, "layout": {"places": []}}
    address = reverse("kits:example-layout-save", args=[project.pk])
    client.post(address, json.dumps(layout), content_type="application/json")
    assert edit(client, project, "title", title="Late", version=0).status_code == 409


# --- Undo ------------------------------------------------------------------------------------------------
def test_edits_are_undone_one_by_one(client: Client, project: Project) -> None:
    for title in ("One", "Two", "Three"):
        edit(client, project, "title", title=title)
    titles = []
    for _ in range(4):
        back = reverse("projects:section", args=[project.pk, "supplies"])
        version = project.newest().layout_version
        answer = client.post(reverse("projects:undo", args=[project.pk]), {"version": version, "back": back})
        assert answer["Location"] == back
        titles.append(Project.objects.get().title)
    assert titles == ["Two", "One", "Lantern patch", "Lantern patch"]
    assert project.newest().read() == lantern()


def test_what_was_undone_is_done_again_until_something_new_is_done(client: Client, project: Project) -> None:
    def step(which: str) -> str:
        version = project.newest().layout_version
        client.post(reverse(f"projects:{which}", args=[project.pk]), {"version": version})
        return Project.objects.get().title

    for title in ("One", "Two", "Three"):
        edit(client, project, "title", title=title)
    undone = [step("undo") for _ in range(3)]
    assert undone == ["Two", "One", "Lantern patch"]
    assert [step("redo") for _ in range(4)] == ["One", "Two", "Three", "Three"]
    assert [step("undo"), step("undo"), step("redo")] == ["Two", "One", "Two"]
    page = client.get(reverse("projects:page", args=[project.pk])).content.decode()
    assert "Do it again" in page
    edit(client, project, "title", title="Four")
    assert last_undone(project.newest()) is None
    assert [step("redo"), step("undo"), step("undo")] == ["Four", "Two", "One"]


def test_nothing_is_done_again_over_what_was_changed_since(client: Client, project: Project) -> None:
    edit(client, project, "title", title="One")
    seen = project.newest().layout_version
    undo_last(project, seen)
    answer = client.post(reverse("projects:redo", args=[project.pk]), {"version": seen}, follow=True)
    assert "Nothing was done" in answer.content.decode()
    assert Project.objects.get().title == "Lantern patch"
    address = reverse("kits:example-layout-save", args=[project.pk])
    version = project.newest().layout_version
    body = json.dumps({"version": version, "layout": {"places": []}})
    assert client.post(address, body, content_type="application/json").status_code == 200
    assert last_undone(project.newest()) is None


def test_undo_leads_back_only_to_pages_of_the_project(client: Client, project: Project) -> None:
    for back in ("https://example.org/", "//example.org", "/projects/", ""):
        answer = client.post(reverse("projects:undo", args=[project.pk]), {"version": 0, "back": back})
        assert answer["Location"] == reverse("projects:page", args=[project.pk])


def test_what_was_published_or_laid_out_since_is_not_undone(client: Client, project: Project) -> None:
    edit(client, project, "title", title="One")
    assert last_step(project.newest()) is not None
    publish(project)
    assert last_step(project.newest()) is None
    client.post(reverse("projects:undo", args=[project.pk]), {"version": project.newest().layout_version})
    assert Project.objects.get().title == "One"
    edit(client, project, "title", title="Two")
    assert [revision.read().project.title for revision in project.revisions.order_by("number")] == ["One", "Two"]


def test_only_the_last_edits_are_kept(project: Project) -> None:
    for number in range(KEPT_STEPS + 5):
        version = project.newest().layout_version
        change_draft(project, version, lambda d, n=number: set_title(d, f"Title {n}"), f"edit {number}", project.owner)
    assert project.draft_steps.count() == KEPT_STEPS


def test_an_edit_that_changes_nothing_is_no_edit(client: Client, project: Project) -> None:
    edit(client, project, "title", title="Lantern patch")
    assert project.newest().layout_version == 0
    assert not project.draft_steps.exists()


# --- Fabric ----------------------------------------------------------------------------------------------
def test_pieces_come_from_measures_points_or_an_svg_file(client: Client, project: Project) -> None:
    edit(client, project, "add-piece", name="round", shape="rounded", width=80, height=60, radius=10, seam_allowance=5)
    edit(client, project, "add-piece", name="tri", shape="polygon", points="0 0\n90, 0\n40 80", seam_allowance=5)
    drawn = b'<svg xmlns="http://www.w3.org/2000/svg" width="9cm" height="9cm" viewBox="0 0 90 90">'
    drawn += b'<path d="M0 0h40v40h-40z m50 0h30v30h-30z"/></svg>'
    file = SimpleUploadedFile("a.svg", drawn, content_type="image/svg+xml")
    answer = edit(client, project, "add-piece", name="ear", shape="svg", file=file, seam_allowance=4)
    assert answer.status_code == 302, answer.content
    pieces = {piece.name: piece for piece in project.newest().read().project.pieces}
    assert list(pieces) == ["front", "round", "tri", "ear", "ear-2"]
    assert pieces["tri"].outline == ((0, 0), (90, 0), (40, 80))
    assert pieces["ear-2"].outline == ((0, 0), (30, 0), (30, 30), (0, 30))


def test_a_bad_svg_file_is_refused_beside_its_field(client: Client, project: Project) -> None:
    file = SimpleUploadedFile("a.svg", b"<!DOCTYPE svg><svg/>")
    answer = edit(client, project, "add-piece", name="ear", shape="svg", file=file, seam_allowance=4)
    assert answer.status_code == 400
    assert "it holds a document type" in answer.content.decode()
    answer = edit(client, project, "add-piece", name="ear", shape="svg", seam_allowance=4)
    assert "Choose the SVG file." in answer.content.decode()


def test_a_changed_piece_keeps_its_outline_unless_asked(client: Client, project: Project) -> None:
    edit(client, project, "change-piece", piece="front", name="moon", shape="keep", seam_allowance=4)
    piece = project.newest().read().project.pieces[0]
    assert (piece.name, piece.seam_allowance, piece.outline) == ("moon", 4, lantern().project.pieces[0].outline)
    edit(client, project, "change-piece", piece="moon", name="moon", shape="circle", diameter=200, seam_allowance=4)
    assert len(project.newest().read().project.pieces[0].outline) > 12


# --- Weight -------------------------------------------------------------------------------------------------
def test_a_large_circuit_takes_no_more_queries_and_stays_light(client: Client, project: Project) -> None:
    def weigh() -> tuple[int, int]:
        with CaptureQueriesContext(connection) as caught:
            page = client.get(reverse("projects:section", args=[project.pk, "circuit"])).content
        return len(caught), len(page)

    edit(client, project, "add-part", type="controller-12")
    few = weigh()[0]
    for _ in range(20):
        edit(client, project, "add-part", type="light-red")
    for number in range(2, 22):
        edit(client, project, "join", first="M1.minus", second=f"L{number}.minus")
        if number < 12:
            edit(client, project, "join", first=f"M1.a{number - 1}", second=f"L{number}.plus")
    many, size = weigh()
    assert many == few
    assert size <= 200_000, "a page for a slow network"
