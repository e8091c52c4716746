"""Bringing a document in as a project, or as the next draft of one."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from projects.circuit.document import Document
from projects.models import Project
from projects.stored import document_json

__all__ = ["import_project", "replace_draft"]


def import_project(owner: User, document: Document) -> Project:
    """A new project of this owner whose first revision is a draft of the document."""
    with transaction.atomic():
        project = Project.objects.create(owner=owner, title=document.project.title)
        project.revisions.create(number=1, document=document_json(document))
    return project


def replace_draft(project: Project, document: Document) -> None:
    """Put the document in place of the project's draft; what is published stays as it is."""
    with transaction.atomic():
        held = Project.objects.select_for_update().get(pk=project.pk)
        draft = held.draft()
        draft.put(document)
        draft.save()
        held.title = document.project.title
        held.save(update_fields=["title"])
