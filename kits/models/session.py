"""A session: one meeting of a workshop."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from kits.models.workshop import Workshop

__all__ = ["Session"]


class Session(models.Model):
    """A day on which the class meets, and for how long."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="sessions")
    date = models.DateField(_("date"))
    minutes = models.PositiveSmallIntegerField(
        _("minutes"), default=90, validators=[MinValueValidator(10), MaxValueValidator(600)]
    )

    class Meta:
        ordering = ["date", "pk"]
        indexes = [models.Index(fields=["date"], name="session_by_date")]

    def __str__(self) -> str:
        return f"{self.workshop} · {self.date}"
