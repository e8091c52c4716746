"""Records that are written once: submissions, events, decisions."""

from __future__ import annotations

from typing import Any

from django.db import models

from projects.models import Frozen

__all__ = ["AppendOnly"]


class AppendOnlyQuerySet(models.QuerySet[Any]):
    def update(self, **kwargs: Any) -> int:
        """Always raises Frozen: rows are written once."""
        raise Frozen(f"{self.model._meta.verbose_name} is written once.")


class AppendOnly(models.Model):
    """A row that is added and read, never changed. It goes only when what it belongs to is deleted."""

    objects = AppendOnlyQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Raises Frozen for a row that is in the database already."""
        if not self._state.adding:
            raise Frozen(f"{self._meta.verbose_name} {self.pk} is written once.")
        super().save(*args, **kwargs)
