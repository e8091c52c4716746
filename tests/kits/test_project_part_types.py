"""Part types of a project's own: copied, relabelled, resized, drawn, printed."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from projects.circuit.catalogue import catalogue
from projects.models import Project
from tests.kits.factories import lantern, make_project, make_user, teacher_client
from tests.kits.pdf_reading import DPMM, longest_runs, page_words, pictures_of
from tests.kits.project_edits import edit

pytestmark = pytest.mark.django_db


@pytest.fixture
def project() -> Project:
    return make_project(make_user("teacher"), published=False)


@pytest.fixture
def client(project: Project) -> Client:
    return teacher_client(project.owner)


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
