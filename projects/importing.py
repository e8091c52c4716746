"""Bringing a document in as a project."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from projects.circuit.document import Document
from projects.models import Project
from projects.stored import document_json

__all__ = ["import_project"]


def import_project(owner: User, document: Document) -> Project:
    """A new project of this owner whose first revision is a draft of the document."""
    with transaction.atomic():
        project = Project.objects.create(owner=owner, title=document.project.title)
        project.revisions.create(number=1, document=document_json(document))
    return project
