"""Around a class: quick start, home, and pages that take the same queries whatever its size."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from kits.demo.examples import examples
from kits.models import Kit, Workshop
from kits.services.access import Person
from kits.services.stage_ticks import tick_stage
from projects.models import Project
from tests.kits.factories import handed_in, make_project, make_user, make_workshop, page, sewing, teacher_client

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def test_from_nothing_to_printing_in_two_forms() -> None:
    client = teacher_client(make_user("new"))
    assert "Three things to begin with" in page(client, "home")
    client.post(reverse("kits:demo-projects"), {"action": "load"})
    revision = Project.objects.get(title="Lantern patch").revisions.get()
    answer = client.post(reverse("kits:quick-start"), {"revision": revision.pk, "kits": 8})
    workshop = Workshop.objects.get()
    assert answer["Location"] == reverse("kits:print", args=[workshop.pk])
    assert workshop.kits.count() == 8
    assert workshop.sessions.get().date == timezone.localdate()
    assert "Lantern patch" in workshop.title
    assert not workshop.learners.exists()
    assert client.get(answer["Location"]).status_code == 200


def test_a_wrong_number_comes_back_as_it_was_typed(teacher: Client) -> None:
    revision = Project.objects.get().revisions.get()
    answer = teacher.post(reverse("kits:quick-start"), {"revision": revision.pk, "kits": "1000"})
    assert answer.status_code == 400
    assert 'value="1000"' in answer.content.decode()


def test_a_project_of_somebody_else_cannot_be_quick_started(teacher: Client) -> None:
    other = make_project(make_user("other")).revisions.get()
    assert teacher.post(reverse("kits:quick-start"), {"revision": other.pk, "kits": 3}).status_code == 400


def test_demo_projects_are_loaded_once_and_removed_where_nobody_uses_or_changed_them() -> None:
    user = make_user("new")
    client, address = teacher_client(user), reverse("kits:demo-projects")
    for _twice in range(2):
        client.post(address, {"action": "load"})
        assert Project.objects.filter(owner=user).count() == 3
    titles = [document.project.title for document in examples().values()]
    used, changed, free = (Project.objects.get(title=title) for title in titles)
    client.post(reverse("kits:quick-start"), {"revision": used.revisions.get().pk, "kits": 1})
    changed.draft()
    client.post(address, {"action": "remove"})
    assert set(Project.objects.all()) == {used, changed}
    assert free not in Project.objects.all()


def test_home_says_what_waits_at_a_class_that_meets_today(workshop: Workshop, teacher: Client) -> None:
    kit = sewing(workshop.kits.get(number=2))
    learner = Person(kit=kit, learner=kit.learners.first())
    tick_stage(kit, "mark", learner)
    shown = page(teacher, "home")
    assert reverse("kits:kit", args=[kit.pk]) in shown
    assert "Mark your plan" in shown
    assert reverse("kits:tool-count", args=[workshop.sessions.get().pk]) in shown


def test_the_pages_take_the_same_queries_whatever_the_size_of_the_class() -> None:
    owner = make_user("teacher")
    small = make_workshop(owner, kits=2, names=("Ayo", "Kaja"))
    large = make_workshop(owner, kits=12, names=tuple(f"Name {n}" for n in range(12)))
    for one in (small, large):
        handed_in(one.kits.first())
    for day in range(1, 4):
        large.sessions.create(date=timezone.localdate() + timedelta(days=day), minutes=60)
    client = teacher_client(owner)
    names = ("set-up", "sessions", "tools", "marks", "class-today", "helpers", "erase", "roster-list", "marks-csv")

    def queries(workshop: Workshop) -> dict[str, int]:
        counts = {}
        for name in names:
            with CaptureQueriesContext(connection) as caught:
                assert client.get(reverse(f"kits:{name}", args=[workshop.pk])).status_code == 200
            counts[name] = len(caught)
        return counts

    assert queries(large) == queries(small)
    assert Kit.objects.count() == 14
