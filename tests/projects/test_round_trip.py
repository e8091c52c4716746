"""Export and import give back what was there: 500 generated projects, through the database and the pages."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis.extra.django import TestCase

from projects.circuit.document import Document
from projects.circuit.project_file import read, write
from projects.models import Project
from tests.kits.factories import make_user, teacher_client
from tests.projects.documents import documents

pytestmark = pytest.mark.django_db


class RoundTrip(TestCase):
    """Each example in a transaction of its own, so that the table stays small."""

    client: Client

    def setUp(self) -> None:
        self.teacher = teacher_client(make_user("teacher"))

    @settings(max_examples=500, deadline=None, suppress_health_check=list(HealthCheck))
    @given(documents())
    def test_import_then_export_is_the_identity(self, document: Document) -> None:
        data = write(document)
        answer = self.teacher.post(reverse("projects:import"), {"document": data.decode()})
        assert answer.status_code == 302, answer.content
        project = Project.objects.latest("pk")
        out = self.teacher.get(reverse("projects:export", args=[project.pk, 1])).content
        assert out == data
        assert read(out) == document
        assert project.title == document.project.title
