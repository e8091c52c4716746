"""Sharing, copying and importing projects."""

from __future__ import annotations

import datetime
import json
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from kits.forms.workshop import newest_published
from kits.services.create_workshop import create_workshop
from kits.services.publish import publish
from projects.circuit.catalogue import catalogue
from projects.circuit.editing.facts import set_title
from projects.circuit.project_file import write
from projects.models import Project
from tests.kits.factories import CASE, lantern, make_project, make_user, teacher_client
from tests.kits.project_edits import SECTIONS, edit

pytestmark = pytest.mark.django_db


@pytest.fixture
def project() -> Project:
    return make_project(make_user("teacher"), published=False)


@pytest.fixture
def client(project: Project) -> Client:
    return teacher_client(project.owner)


# --- Sharing and copying ---------------------------------------------------------------------------------
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


# --- Import ----------------------------------------------------------------------------------------------
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
    address = reverse("projects:replace", args=[project.pk])
    client.post(address, {"version": 0, "file": SimpleUploadedFile("a.json", changed)})
    assert Project.objects.get().title == "From a file"
    client.post(reverse("projects:undo", args=[project.pk]), {"version": project.newest().layout_version})
    assert project.newest().read() == lantern()


def test_a_file_never_takes_the_place_of_what_a_colleague_changed_since(client: Client, project: Project) -> None:
    page = client.get(reverse("projects:page", args=[project.pk])).content.decode()
    assert re.search(r'name="version" value="0"[^>]*id="id_version"', page)
    edit(client, project, "title", title="By Kim")
    changed = write(set_title(lantern(), "From a file"))
    address = reverse("projects:replace", args=[project.pk])
    answer = client.post(address, {"version": 0, "file": SimpleUploadedFile("a.json", changed)})
    assert answer.status_code == 409
    assert "Not taken over" in answer.content.decode()
    assert "By Kim" in answer.content.decode()
    assert Project.objects.get().title == "By Kim"
    assert client.post(address, {"file": SimpleUploadedFile("a.json", changed)}).status_code == 400


def test_a_shared_project_can_be_used_in_a_class_and_stays_there(client: Client, project: Project) -> None:
    kim = make_user("kim")
    revision = publish(project)
    assert list(newest_published(kim)) == []
    client.post(reverse("projects:share", args=[project.pk]), {"name": "kim", "may_edit": "no"})
    assert list(newest_published(kim)) == [revision]
    workshop = create_workshop(kim, "Club", "", revision, 1, datetime.date.today(), 90)
    client.post(reverse("projects:unshare", args=[project.pk, project.shares.get().pk]))
    colleague = teacher_client(kim)
    kit = workshop.kits.get()
    assert colleague.get(reverse("kits:kit", args=[kit.pk])).status_code == 200
    assert colleague.get(reverse("kits:step-sheet", args=[kit.pk])).status_code == 200
    assert colleague.get(reverse("projects:page", args=[project.pk])).status_code == 404
