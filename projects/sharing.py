"""Sharing a project with a colleague on the same site, and copying one."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from projects.circuit.editing.facts import set_title
from projects.importing import import_project
from projects.models import Project, ProjectShare

__all__ = ["MAX_SHARES", "copy_project", "mark_opened", "share"]

MAX_SHARES = 50


def share(project: Project, name: str, may_edit: bool) -> bool:
    """Let the user of exactly that name see the project, or edit it; whether there was room for one more.

    Nothing tells whether there is such a user. A second time, the right is changed.
    """
    with transaction.atomic():
        Project.objects.select_for_update().get(pk=project.pk)
        if not project.shares.filter(name=name).exists() and project.shares.count() >= MAX_SHARES:
            return False
        user = User.objects.filter(username=name, is_active=True).exclude(pk=project.owner_id).first()
        project.shares.update_or_create(name=name, defaults={"may_edit": may_edit, "user": user})
    return True


def mark_opened(project: Project, user: User) -> None:
    """Keep that the colleague has looked at the project."""
    if project.owner_id != user.pk:
        ProjectShare.objects.filter(project=project, user=user, opened_at=None).update(opened_at=timezone.now())


def copy_project(project: Project, owner: User) -> Project:
    """A new project of this owner: the newest revision of the other as a first draft."""
    document = project.newest().read()
    title = _("{title} (copy)").format(title=document.project.title[:190])
    return import_project(owner, set_title(document, title))
