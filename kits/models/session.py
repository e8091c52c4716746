"""A session: one meeting of a workshop."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from kits.models.workshop import Workshop

__all__ = ["Session"]


class Session(models.Model):
    """A day on which the class meets, when and for how long, and what the teacher wrote afterwards."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="sessions")
    date = models.DateField(_("date"))
    minutes = models.PositiveSmallIntegerField(
        _("minutes"), default=90, validators=[MinValueValidator(10), MaxValueValidator(600)]
    )
    starts = models.TimeField(_("starts at"), null=True, blank=True)
    note = models.TextField(_("what was reached"), max_length=1000, blank=True)

    class Meta:
        ordering = ["date", "pk"]
        indexes = [models.Index(fields=["date"], name="session_by_date")]

    def __str__(self) -> str:
        return f"{self.workshop} · {self.date}"

    @property
    def clock(self) -> str:
        """From when to when, `15:30–17:00`; empty where no start is given."""
        if self.starts is None:
            return ""
        begins = datetime.combine(self.date, self.starts)
        return f"{begins:%H:%M}–{begins + timedelta(minutes=self.minutes):%H:%M}"

    @property
    def sewing_minutes(self) -> int:
        """What is left after setting out and counting back."""
        return max(0, self.minutes - self.workshop.set_out_minutes - self.workshop.count_back_minutes)
