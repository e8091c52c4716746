"""A print job: many sheets in one PDF, made in the background."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.workshop import Workshop

__all__ = ["KEPT", "SILENT", "PrintJob"]

KEPT = timedelta(days=7)
"""How long a finished file is kept."""

SILENT = timedelta(seconds=60)
"""A running job says more often than this that it is alive; one that does not was killed with its worker."""


class PrintJob(models.Model):
    """What to print for one workshop, how far it is, and where the file lies once it is done.

    `options` holds the chosen sheets, kits, paper and units. `doing` is the number of the kit that is being laid
    out. `alive_at` is set while it runs. `task_id` is that of the background task. Only `owner` may fetch the file.
    """

    class State(models.TextChoices):
        WAITING = "waiting", _("waits for its turn")
        RUNNING = "running", _("is being made")
        DONE = "done", _("ready")
        FAILED = "failed", _("failed")
        CANCELLED = "cancelled", _("cancelled")

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="print_jobs")
    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="print_jobs")
    options = models.JSONField(default=dict)
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    doing = models.CharField(max_length=60, blank=True)
    why = models.CharField(max_length=200, blank=True)
    file = models.CharField(max_length=80, blank=True)
    pages = models.PositiveIntegerField(default=0)
    task_id = models.CharField(max_length=64, blank=True)
    cancel_asked = models.BooleanField(default=False)
    asked_at = models.DateTimeField(default=timezone.now)
    alive_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-pk"]
        verbose_name = _("print job")
        verbose_name_plural = _("print jobs")

    def __str__(self) -> str:
        return f"{self.workshop} · {self.state}"

    @property
    def path(self) -> Path:
        """Where its file lies in the data folder, or will."""
        return Path(settings.DATA_DIR) / "print-jobs" / self.file

    @property
    def is_open(self) -> bool:
        """Whether it waits or runs."""
        return self.state in (self.State.WAITING, self.State.RUNNING)

    @property
    def gone_at(self) -> datetime:
        """When its file is removed."""
        return (self.ended_at or self.asked_at) + KEPT
