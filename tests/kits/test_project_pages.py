"""The pages on which a project is made: edits, what refuses and what comes too late, undo, stages, part types."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from kits.services.publish import publish
from projects.circuit.catalogue import catalogue
from projects.circuit.editing.facts import set_title
from projects.circuit.project_file import write
from projects.drafts import KEPT_STEPS, change_draft, last_step
from projects.edits import EDITS
from projects.models import Project
from tests.kits.factories import CASE, lantern, make_project, make_user, teacher_client
from tests.kits.pdf_reading import DPMM, longest_runs, page_words, pictures_of

pytestmark = pytest.mark.django_db

SECTIONS = ("circuit", "fabric", "part-types", "learners", "supplies")


@pytest.fixture
def project() -> Project:
    return make_project(make_user("teacher"), published=False)


@pytest.fixture
def client(project: Project) -> Client:
    return teacher_client(project.owner)


def edit(client: Client, project: Project, what: str, **data: Any) -> Any:
    version = data.pop("version", None)
    data["version"] = project.newest().layout_version if version is None else version
    return client.post(reverse("projects:edit", args=[project.pk, what]), data)


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


# --- Edits --------------------------------------------------------------------------------------------------
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
    for connection in lantern().project.connections:
        for terminal in connection.terminals:
            assert f'data-terminal="{terminal}" data-connection="{connection.name}"' in page
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


# --- Two pages open -----------------------------------------------------------------------------------------
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


# --- Undo ---------------------------------------------------------------------------------------------------
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


# --- Fabric -------------------------------------------------------------------------------------------------
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


# --- Part types ---------------------------------------------------------------------------------------------
def part_type_data(client: Client, project: Project, query: str) -> dict[str, Any]:
    """What a browser would send from the form as it comes."""
    form = client.get(reverse("projects:part-type", args=[project.pk]) + query).context["form"]
    data: dict[str, Any] = {}
    for bound in form:
        value = bound.value()
        if value is not None and value is not False:
            data[bound.html_name] = value
    for row in (form.terminals.management_form, *form.terminals.forms):
        data |= {bound.html_name: bound.value() for bound in row if bound.value() is not None}
    return data


@pytest.mark.parametrize(
    "like",
    [
        "coin-holder",
        "controller-12",
        "light-red",
        "push-button",
        "light-sensor",
        "touch-pad",
        "seam-crossing",
        "buzzer",
        "resistor-1k",
    ],
)
def test_a_copy_of_a_catalogue_part_is_that_part_under_a_new_name(client: Client, project: Project, like: str) -> None:
    data = part_type_data(client, project, f"?like={like}")
    assert "<svg" in client.post(reverse("projects:draw-part-type", args=[project.pk]), data).content.decode()
    assert edit(client, project, "part-type", **data).status_code == 302
    (own,) = project.newest().read().project.part_types
    assert own == catalogue()[like].model_copy(update={"type": f"own-{like}"})


def test_a_copy_is_relabelled_resized_and_used(client: Client, project: Project) -> None:
    data = part_type_data(client, project, "?like=light-white&width=24&height=6")
    data |= {"name": "Our moon light", "terminals-0-label": "P"}
    edit(client, project, "part-type", **data)
    edit(client, project, "change-type", part="L1", type="own-light-white")
    document = project.newest().read()
    (own,) = document.project.part_types
    assert [(one.label, one.x) for one in own.terminals] == [("P", -16), ("−", 16)]
    assert document.layout == lantern().layout
    changed = part_type_data(client, project, "?type=own-light-white") | {"type": "moon-light"}
    edit(client, project, "part-type", **changed)
    assert [part.type for part in project.newest().read().project.parts] == [
        "coin-holder",
        "moon-light",
        "slide-switch",
    ]


def test_a_part_type_that_cannot_be_says_what_and_keeps_what_was_typed(client: Client, project: Project) -> None:
    data = part_type_data(client, project, "?like=light-red") | {"terminals-0-role": "", "name": "Half a light"}
    drawn = client.post(reverse("projects:draw-part-type", args=[project.pk]), data).content.decode()
    assert "no terminal has the role positive" in drawn
    answer = edit(client, project, "part-type", **data)
    page = answer.content.decode()
    assert answer.status_code == 400
    assert "no terminal has the role positive" in page
    assert 'value="Half a light"' in page


def test_a_part_is_printed_at_true_size(client: Client, project: Project) -> None:
    answer = client.get(reverse("kits:part-print", args=[project.pk, "coin-holder"]))
    assert answer["Content-Type"] == "application/pdf"
    (text,) = page_words(answer.content)
    assert "Sew-on holder, 20 mm coin cell" in text
    assert "30 × 26 mm over everything" in text
    assert client.get(reverse("kits:part-print", args=[project.pk, "no-such"])).status_code == 404
    pack = client.get(reverse("kits:part-print", args=[project.pk, "aaa-pack"])).content
    (picture,) = pictures_of(pack)
    runs = longest_runs((picture < 120).all(axis=2)) / DPMM
    edges = [run for run in runs if abs(run - 54.5) < 0.4]  # 54 mm and a stroke of 0.5
    assert len(edges) >= 4, "top and bottom edge of the body"


# --- Stages -------------------------------------------------------------------------------------------------
def stage(client: Client, project: Project, action: str, number: int | None = None, **data: Any) -> Any:
    data |= {"action": action, "version": project.newest().layout_version}
    if number is not None:
        data["number"] = number
    return client.post(reverse("kits:project-stages", args=[project.pk]), data)


def plan_of(client: Client, project: Project) -> list[str]:
    rows = client.get(reverse("kits:project-stages", args=[project.pk])).context["rows"]
    return [row.title + ("*" if row.stage.look else "") for row in rows]


def test_stages_come_from_the_circuit_and_become_the_teachers(client: Client, project: Project) -> None:
    ours = ["Mark your plan*", "Try it out", "Sew the + side", "Sew the − side", "Sew the line middle", "Test it*"]
    rest = ["Close and finish", "Take care of it"]
    assert plan_of(client, project) == [*ours, *rest]
    stage(client, project, "save", 2, name="Red side", look="on")
    assert plan_of(client, project) == [*ours[:2], "Red side*", *ours[3:], *rest]
    stage(client, project, "down", 2)
    assert plan_of(client, project) == [*ours[:2], "Sew the − side", "Red side*", *ours[4:], *rest]
    stage(client, project, "merge", 3)
    assert plan_of(client, project) == [*ours[:2], "Sew the − side", "Red side*", *ours[5:], *rest]
    stage(client, project, "save", 0, name="mark")
    assert plan_of(client, project)[0] == "Mark your plan"
    stage(client, project, "reset")
    assert plan_of(client, project) == [*ours, *rest]


def test_criteria_stay_with_their_stage(client: Client, project: Project) -> None:
    stage(client, project, "add-criterion", stage="positive side", text="No loose tail")
    assert stage(client, project, "save", 2, name="Red side").status_code == 302
    (criterion,) = project.newest().read().project.criteria
    assert (criterion.stage, criterion.text) == ("Red side", "No loose tail")
    stage(client, project, "change-criterion", 0, stage="test", text="It lights")
    stage(client, project, "remove-criterion", 0)
    assert project.newest().read().project.criteria == ()


def test_a_stage_that_cannot_be_so_keeps_what_was_typed(client: Client, project: Project) -> None:
    answer = stage(client, project, "save", 2, name="Sew the − side")
    assert answer.status_code == 400
    assert "comes twice" in answer.content.decode()
    assert stage(client, project, "save", 99, name="X").status_code == 400
    assert stage(client, project, "nonsense", 1).status_code == 302
    assert not project.newest().read().project.stages


# --- Sharing and copying ------------------------------------------------------------------------------------
@pytest.mark.parametrize(("may_edit", "changes"), [("no", 404), ("yes", 200)])
def test_a_colleague_sees_or_edits_and_nothing_more(
    project: Project, client: Client, may_edit: str, changes: int
) -> None:
    kim = make_user("kim")
    colleague = teacher_client(kim)
    assert colleague.get(reverse("projects:page", args=[project.pk])).status_code == 404
    client.post(reverse("projects:share", args=[project.pk]), {"name": "kim", "may_edit": may_edit})
    sees = ["projects:page", "kits:project-report", "kits:project-plan", "kits:project-materials"]
    for name in sees:
        assert colleague.get(reverse(name, args=[project.pk])).status_code == 200, name
    assert colleague.get(reverse("projects:export", args=[project.pk, 1])).status_code == 200
    assert "shared by teacher" in colleague.get(reverse("projects:list")).content.decode()
    for section in SECTIONS:
        assert colleague.get(reverse("projects:section", args=[project.pk, section])).status_code == changes
    for name in ("kits:example-layout", "kits:project-stages", "projects:part-type"):
        assert colleague.get(reverse(name, args=[project.pk])).status_code == changes
    posted = edit(colleague, project, "title", title="Theirs")
    assert posted.status_code == (404 if changes == 404 else 302)
    assert (
        colleague.post(reverse("projects:share", args=[project.pk]), {"name": "x", "may_edit": "no"}).status_code == 404
    )
    share = project.shares.get()
    assert colleague.post(reverse("projects:unshare", args=[project.pk, share.pk])).status_code == 404
    assert share.opened_at is not None
    client.post(reverse("projects:unshare", args=[project.pk, share.pk]))
    assert colleague.get(reverse("projects:page", args=[project.pk])).status_code == 404


def test_sharing_never_tells_whether_there_is_such_a_user(project: Project, client: Client) -> None:
    make_user("kim")
    pages = []
    for name in ("kim", "nobody-here"):
        client.post(reverse("projects:share", args=[project.pk]), {"name": name, "may_edit": "no"})
        page = client.get(reverse("projects:page", args=[project.pk])).content.decode()
        share = project.shares.get()
        pages.append(
            page.replace(name, "NAME").replace(f"/shares/{share.pk}/", "/shares/N/").split('id="share-head"')[1]
        )
        client.post(reverse("projects:unshare", args=[project.pk, share.pk]))
    cut = [page.split("csrfmiddlewaretoken")[0] for page in pages]
    assert cut[0] == cut[1]


def test_a_copy_is_ones_own_and_the_other_stays(project: Project) -> None:
    kim = make_user("kim")
    project.shares.create(name="kim", user=kim)
    colleague = teacher_client(kim)
    colleague.post(reverse("projects:copy", args=[project.pk]))
    copy = Project.objects.get(owner=kim)
    assert copy.title == "Lantern patch (copy)"
    assert copy.newest().read().layout == lantern().layout
    edit(colleague, copy, "title", title="Kim's")
    assert project.newest().read() == lantern()


# --- Import -------------------------------------------------------------------------------------------------
def test_a_preview_shows_what_a_file_brings_and_stores_nothing(client: Client, project: Project) -> None:
    own = json.loads(CASE.read_bytes())
    light = json.loads(catalogue()["light-white"].model_dump_json(exclude_none=True))
    own["project"]["part_types"] = [{**light, "name": "Our light"}]
    answer = client.post(reverse("projects:import"), {"file": SimpleUploadedFile("a.json", json.dumps(own).encode())})
    page = answer.content.decode()
    for words in ("160 × 120 mm", "3 parts, 3 connections", "with 6 lines", "Our light", "takes the place of ours"):
        assert words in page
    assert Project.objects.count() == 1


def test_a_preview_that_was_tampered_with_is_refused(client: Client, project: Project) -> None:
    broken = write(lantern()).decode().replace('"contact": 2', '"contact": 9')
    answer = client.post(reverse("projects:import"), {"document": broken})
    assert answer.status_code == 400
    assert "project.contact" in answer.content.decode()
    assert Project.objects.count() == 1


def test_a_file_in_place_of_the_draft_can_be_undone(client: Client, project: Project) -> None:
    changed = write(set_title(lantern(), "From a file"))
    client.post(reverse("projects:replace", args=[project.pk]), {"file": SimpleUploadedFile("a.json", changed)})
    assert Project.objects.get().title == "From a file"
    client.post(reverse("projects:undo", args=[project.pk]), {"version": project.newest().layout_version})
    assert project.newest().read() == lantern()
