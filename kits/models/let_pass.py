"""A teacher's decision that a finding does not hold a kit up."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.kit import Kit

__all__ = ["LetPass"]


class LetPass(models.Model):
    """A finding, by its key, that was let pass for a kit, and why."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="let_passes")
    finding = models.TextField()
    reason = models.CharField(_("reason"), max_length=300)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["kit", "at"]
        constraints = [models.UniqueConstraint(fields=["kit", "finding"], name="one_let_pass_a_finding")]

    def __str__(self) -> str:
        return f"{self.kit} · {self.finding}"
