"""Publishing a project's draft as a numbered revision."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from kits.services.layouts import NotNow
from projects.models import Project, Revision

__all__ = ["publish"]


def publish(project: Project) -> Revision:
    """Freeze the draft, so that workshops may use it. Raises NotNow where there is no draft."""
    with transaction.atomic():
        Project.objects.select_for_update().get(pk=project.pk)
        newest = project.newest()
        if not newest.is_draft:
            raise NotNow(
                _("Revision {number} is published already, and nothing was changed since.").format(number=newest.number)
            )
        newest.published_at = timezone.now()
        newest.save()
        return newest
