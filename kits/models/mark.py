"""Marks: what a teacher says of each learner's work, by the project's criteria."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.kit import Kit
from kits.models.learner import Learner

__all__ = ["Mark", "MarkComment"]


class Mark(models.Model):
    """How well one criterion was met, by one learner of a kit (by the kit itself where it has no learner).

    `stage` and `text` are those of the criterion as it stood, so that a mark outlives a new revision.
    """

    class Level(models.IntegerChoices):
        NOT_YET = 0, _("not yet")
        WITH_HELP = 1, _("with help")
        ALONE = 2, _("on their own")
        BEYOND = 3, _("more than asked")

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="marks")
    learner = models.ForeignKey(Learner, null=True, on_delete=models.CASCADE, related_name="marks")
    stage = models.CharField(max_length=200, blank=True)
    text = models.CharField(max_length=200)
    level = models.PositiveSmallIntegerField(choices=Level.choices)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["kit", "learner", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["kit", "learner", "stage", "text"],
                condition=Q(learner__isnull=False),
                name="one_mark_a_learner_and_criterion",
            ),
            models.UniqueConstraint(
                fields=["kit", "stage", "text"], condition=Q(learner__isnull=True), name="one_mark_a_kit_and_criterion"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kit} · {self.text}: {self.get_level_display()}"


class MarkComment(models.Model):
    """What the teacher writes beside the marks of one learner."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="mark_comments")
    learner = models.ForeignKey(Learner, null=True, on_delete=models.CASCADE, related_name="mark_comments")
    text = models.TextField(_("comment"), max_length=1000, blank=True)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["kit", "learner", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["kit", "learner"], condition=Q(learner__isnull=False), name="one_comment_a_learner"
            ),
            models.UniqueConstraint(fields=["kit"], condition=Q(learner__isnull=True), name="one_comment_a_kit"),
        ]

    def __str__(self) -> str:
        return f"{self.kit} · {self.learner or ''}"
