"""What the pages of projects share: fetching a project through the user's own rights."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from projects.models import Project

__all__ = ["editable", "owned", "seen", "user_of"]


def user_of(request: HttpRequest) -> User:
    """The user, behind `login_required`."""
    assert isinstance(request.user, User)
    return request.user


def seen(request: HttpRequest, project_id: int) -> Project:
    """A project that this user may see; anything else is not there."""
    return get_object_or_404(Project.objects.seen_by(request.user), pk=project_id)


def editable(request: HttpRequest, project_id: int) -> Project:
    """A project that this user may change; anything else is not there."""
    return get_object_or_404(Project.objects.open_to(request.user), pk=project_id)


def owned(request: HttpRequest, project_id: int) -> Project:
    """A project of this user's own; anything else is not there."""
    return get_object_or_404(Project.objects.owned_by(request.user), pk=project_id)
