"""Editing projects through their pages, as tests do it: with the version that the page would hold."""

from __future__ import annotations

from typing import Any

from django.test import Client
from django.urls import reverse

from projects.models import Project

__all__ = ["SECTIONS", "edit"]

SECTIONS = ("circuit", "fabric", "part-types", "learners", "supplies")


def edit(client: Client, project: Project, what: str, **data: Any) -> Any:
    """Send an edit; with the newest version unless one is given."""
    version = data.pop("version", None)
    data["version"] = project.newest().layout_version if version is None else version
    return client.post(reverse("projects:edit", args=[project.pk, what]), data)
