"""Kit codes that did not fit, kept for a few minutes to slow guessing down."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

__all__ = ["FailedTry"]


class FailedTry(models.Model):
    """One wrong code: keyed digests of the address it came from and of how the code began."""

    address = models.CharField(max_length=64)
    beginning = models.CharField(max_length=64)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        indexes = [
            models.Index(fields=["address", "at"], name="failed_try_by_address"),
            models.Index(fields=["beginning", "at"], name="failed_try_by_beginning"),
            models.Index(fields=["at"], name="failed_try_by_age"),
        ]

    def __str__(self) -> str:
        return str(self.at)
