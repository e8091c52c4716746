"""How far a session is to bring the kits of one project."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from kits.models.session import Session
from projects.models import Revision

__all__ = ["SessionGoal"]


class SessionGoal(models.Model):
    """The last stage, by its name in the plan, that kits of this revision are to finish in this session."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="goals")
    revision = models.ForeignKey(Revision, on_delete=models.CASCADE, related_name="+")
    stage = models.CharField(_("stage"), max_length=200)

    class Meta:
        ordering = ["session", "revision"]
        constraints = [models.UniqueConstraint(fields=["session", "revision"], name="one_goal_a_project")]

    def __str__(self) -> str:
        return f"{self.session} · {self.stage}"
