"""The three demo projects as a teacher's own: loaded to look around, and removed again."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Count

from kits.demo.examples import examples
from kits.models import Kit
from kits.services.publish import publish
from projects.importing import import_project
from projects.models import Project
from projects.stored import document_json

__all__ = ["Removed", "has_examples", "load_examples", "remove_examples"]


@dataclass(frozen=True)
class Removed:
    """Titles of the projects that were removed, and of those that stay: used by a class, or changed since."""

    removed: tuple[str, ...]
    kept: tuple[str, ...]


def has_examples(user: User) -> bool:
    """Whether this user has a project with the title of a demo project; one query."""
    return Project.objects.filter(owner=user, title__in=_titles()).exists()


def load_examples(user: User) -> list[Project]:
    """Import and publish those of the demo's projects whose title this user does not have yet."""
    with transaction.atomic():
        there = set(Project.objects.filter(owner=user).values_list("title", flat=True))
        made = [import_project(user, one) for one in examples().values() if one.project.title not in there]
        for project in made:
            publish(project)
    return made


def remove_examples(user: User) -> Removed:
    """Delete this user's demo projects that are as they were loaded and that no class makes."""
    originals = {document.project.title: document_json(document) for document in examples().values()}
    gone, kept = [], []
    with transaction.atomic():
        found = Project.objects.filter(owner=user, title__in=originals).annotate(count=Count("revisions"))
        for project in found.order_by("title"):
            revisions = list(project.revisions.all())
            same = len(revisions) == 1 and revisions[0].document == originals[project.title]
            if same and not Kit.objects.filter(revision__project=project).exists():
                project.delete()
                gone.append(project.title)
            else:
                kept.append(project.title)
    return Removed(tuple(gone), tuple(kept))


def _titles() -> list[str]:
    return [document.project.title for document in examples().values()]
