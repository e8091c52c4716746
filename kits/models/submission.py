"""A submission: a layout handed in."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from kits.models.append_only import AppendOnly
from kits.models.kit import Kit
from kits.models.learner import Learner
from projects.circuit.document import Document
from projects.stored import document_from

__all__ = ["Submission"]


class Submission(AppendOnly):
    """What was handed in, whole, with its report as it was then; never changed afterwards.

    By a learner of the kit, by a user, or by neither where a kit without a roster was joined by its code.
    """

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="submissions")
    number = models.PositiveIntegerField()
    document = models.JSONField()
    report = models.JSONField()
    handed_in_at = models.DateTimeField(default=timezone.now)
    learner = models.ForeignKey(Learner, null=True, on_delete=models.RESTRICT, related_name="+")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["kit", "number"]
        constraints = [models.UniqueConstraint(fields=["kit", "number"], name="one_submission_a_number")]

    def __str__(self) -> str:
        return f"{self.kit} · {self.number}"

    def read(self) -> Document:
        """The document as it was handed in."""
        return document_from(self.document)
