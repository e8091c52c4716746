"""Publishing a project's draft as a numbered revision."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from kits.services.layouts import NotNow
from projects.drafts import steps_since
from projects.models import Project, Revision

__all__ = ["publish"]


def publish(project: Project, seen_version: int | None = None) -> Revision:
    """Freeze the draft, so that workshops may use it.

    Raises NotNow where there is no draft, and where the draft is no longer at `seen_version`, the one that the person
    who publishes has looked at.
    """
    with transaction.atomic():
        Project.objects.select_for_update().get(pk=project.pk)
        newest = project.newest()
        if not newest.is_draft:
            raise NotNow(
                _("Revision {number} is published already, and nothing was changed since.").format(number=newest.number)
            )
        if seen_version is not None and newest.layout_version != seen_version:
            raise NotNow(_changed_since(project, seen_version))
        newest.published_at = timezone.now()
        newest.save()
        return newest


def _changed_since(project: Project, seen_version: int) -> str:
    words = _("Not published: the draft was changed on another page since you opened this one.")
    if steps := steps_since(project, seen_version):
        words += " " + _("New are: {changes}.").format(changes=", ".join(steps))
    return words + " " + _("Look at it once more, then publish it.")
