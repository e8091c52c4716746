"""The stages of a project, as the plan makes them and the teacher changes them; criteria for marks."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from kits.plan.make import make_plan
from projects.models import Project
from tests.kits.factories import make_project, make_user, teacher_client

pytestmark = pytest.mark.django_db


@pytest.fixture
def project() -> Project:
    return make_project(make_user("teacher"), published=False)


@pytest.fixture
def client(project: Project) -> Client:
    return teacher_client(project.owner)


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


def test_stages_of_the_plan_are_renamed_and_merged(client: Client, project: Project) -> None:
    stage(client, project, "add-criterion", stage="try it out", text="Clips every part")
    stage(client, project, "save", 1, name="Clip it up")
    assert plan_of(client, project)[:3] == ["Mark your plan*", "Clip it up", "Sew the + side"]
    (criterion,) = project.newest().read().project.criteria
    assert criterion.stage == "Clip it up"
    file = client.get(reverse("projects:export", args=[project.pk, 1])).content.decode()
    assert '"does": ["try it out"]' in file
    assert file.count('"does"') == 1  # a name of ours says it all
    stage(client, project, "merge", 0)
    assert plan_of(client, project)[:2] == ["Mark your plan*", "Sew the + side"]
    stage(client, project, "save", 0, name="Get ready", look="on")
    (criterion,) = project.newest().read().project.criteria
    assert criterion.stage == "Get ready"
    stage(client, project, "merge", 3)
    rows = plan_of(client, project)
    assert rows == ["Get ready*", "Sew the + side", "Sew the − side", "Sew the line middle*", *rows[4:]]
    assert len(rows) == 6
    stages = make_plan(project.newest().read()).stages
    assert [one.kinds for one in stages if len(one.kinds) > 1] == [("mark", "try"), ("sew", "test")]


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


def test_a_draft_that_changed_elsewhere_is_looked_at_before_it_is_published(client: Client, project: Project) -> None:
    seen = project.newest().layout_version
    stage(client, project, "save", 2, name="Red side")
    address = reverse("kits:publish-project", args=[project.pk])
    answer = client.post(address, {"version": seen}, follow=True).content.decode()
    assert "changed on another page" in answer
    assert "changed the stage Red side" in answer
    assert client.post(address, follow=True).status_code == 200
    assert project.newest().is_draft
    page = client.get(reverse("projects:page", args=[project.pk])).content.decode()
    (version,) = re.findall(r'name="version" value="(\d+)">\s*<button class="btn btn-primary">Publish', page)
    client.post(address, {"version": version})
    assert not project.newest().is_draft
