"""Setting a class up: what is missing, its minutes and codes, and a class set up like another."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from kits.models import Workshop
from kits.models.codes import grouped
from kits.plan.sessions import LAYOUT
from kits.services.copy_workshop import copy_workshop
from kits.services.session_plan import plan_sessions, save_goals
from kits.services.set_up import SetUp, read_set_up
from tests.kits.factories import handed_in, make_user, make_workshop, page, teacher_client

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def missing(set_up: SetUp) -> dict[str, int]:
    return {step.name: len(step.missing) for step in set_up.steps if step.missing}


def test_set_up_says_what_is_missing_and_no_more(workshop: Workshop) -> None:
    set_up = read_set_up(workshop)
    assert set(missing(set_up)) == {"sessions", "kits"}
    workshop.sessions.create(date=timezone.localdate() + timedelta(days=7), minutes=90)
    assert "sessions" not in missing(read_set_up(workshop))
    workshop.sessions.all().delete()
    workshop.tool_trays.all().delete()
    assert {"sessions", "tools"} <= set(missing(read_set_up(workshop)))


def test_an_empty_workshop_can_be_set_up_too() -> None:
    owner = make_user("teacher")
    workshop = Workshop.objects.create(owner=owner, title="Nothing yet")
    client = teacher_client(owner)
    assert set(missing(read_set_up(workshop))) == {"projects", "sessions", "kits", "tools"}
    for name in (
        "set-up",
        "sessions",
        "tools",
        "marks",
        "class-today",
        "roster-list",
        "helpers",
        "marks-sheet",
        "copy-workshop",
    ):
        assert client.get(reverse(f"kits:{name}", args=[workshop.pk])).status_code == 200


def test_minutes_are_settings(workshop: Workshop, teacher: Client) -> None:
    address = reverse("kits:details", args=[workshop.pk])
    data = {
        "title": "Friday club",
        "place": "",
        "set_out_minutes": "15",
        "count_back_minutes": "5",
        "layout_minutes": "0",
    }
    assert teacher.post(address, data).status_code == 302
    workshop.refresh_from_db()
    assert plan_sessions(workshop)[0].session.sewing_minutes == 70
    assert LAYOUT not in [stage.name for stage in plan_sessions(workshop)[0].levels[0].stages]
    wrong = teacher.post(address, {**data, "title": "", "set_out_minutes": "500"})
    assert wrong.status_code == 400
    assert 'value="500"' in wrong.content.decode()


def test_all_codes_are_replaced_at_once(workshop: Workshop, teacher: Client) -> None:
    before = set(workshop.kits.values_list("code", flat=True))
    teacher.post(reverse("kits:new-codes", args=[workshop.pk]))
    after = set(workshop.kits.values_list("code", flat=True))
    assert len(after) == 3
    assert not before & after
    assert all(grouped(code) in page(teacher, "codes", workshop.pk) for code in after)


def test_a_copy_has_the_same_kits_and_sessions_and_nobody(workshop: Workshop) -> None:
    handed_in(workshop.kits.get(number=1))
    workshop.sessions.create(date=timezone.localdate() + timedelta(days=7), minutes=60)
    workshop.tool_kinds.filter(name="Meters").update(usual=3)
    first = workshop.sessions.earliest("date")
    save_goals(first, {workshop.kits.first().revision_id: "mark"})
    day = timezone.localdate() + timedelta(days=90)
    copy = copy_workshop(workshop, workshop.owner, "Next term", day)
    assert [kit.number for kit in copy.kits.all()] == [1, 2, 3]
    assert not set(copy.kits.values_list("code")) & set(workshop.kits.values_list("code"))
    assert [(one.date, one.minutes) for one in copy.sessions.all()] == [(day, 90), (day + timedelta(days=7), 60)]
    assert copy.sessions.earliest("date").goals.get().stage == "mark"
    assert copy.tool_kinds.get(name="Meters").usual == 3
    assert not copy.learners.exists()
    assert not copy.events.exists()
    assert {kit.layout_version for kit in copy.kits.all()} == {0}


def test_a_copy_takes_the_newest_published_revision(workshop: Workshop) -> None:
    project = workshop.kits.first().revision.project
    draft = project.draft()
    draft.published_at = timezone.now()
    draft.save()
    project.draft()
    copy = copy_workshop(workshop, workshop.owner, "Next term", timezone.localdate())
    assert {kit.revision.number for kit in copy.kits.all()} == {2}
    (note,) = [line for line in read_set_up(workshop).steps[0].there if "newer revision" in line.text]
    assert note.values["number"] == 2
