"""What a teacher wants printed on every sheet: whom to call, the school's rules, how long data is kept."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

__all__ = ["SchoolNotes"]


def _no_grid() -> dict[str, Any]:
    return {}


class SchoolNotes(models.Model):
    """One teacher's settings for print; `label_grid` holds the sheet of labels that they last used."""

    owner = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="school_notes")
    poison_line = models.CharField(_("poison help line"), max_length=120, blank=True)
    rules = models.TextField(_("rules of the school"), max_length=600, blank=True)
    data_kept = models.CharField(_("how long data is kept"), max_length=300, blank=True)
    label_grid = models.JSONField(default=_no_grid, blank=True)

    class Meta:
        verbose_name = _("school notes")
        verbose_name_plural = _("school notes")

    def __str__(self) -> str:
        return str(self.owner)
