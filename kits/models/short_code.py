"""Short codes: two minutes and one use, for a kit that lost its label."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from kits.models.kit import Kit

__all__ = ["ShortCode"]


class ShortCode(models.Model):
    """A keyed digest of the code, never the code itself; `used_at` once somebody has joined with it."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="short_codes")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(default=timezone.now, db_index=True)
    used_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.kit} · {self.made_at}"
