"""A kit: one object in the making."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from kits.models.codes import CODE_LENGTH, grouped, new_code
from kits.models.learner import Learner
from kits.models.workshop import Workshop
from projects.circuit.document import Document
from projects.models import Revision
from projects.stored import document_from, layout_from

__all__ = ["Kit", "KitLearner"]


def _no_layout() -> dict[str, Any]:
    return {}


class Kit(models.Model):
    """One object, by one learner or a few.

    `document` is the kit's own circuit as a whole project file, null where the revision's is used. `layout`
    is in the project file's form; `layout_version` counts its saves, and `layout_saved_at` is the last of them.
    `stages` holds the names and titles of the plan's stages, so that the board needs no plan. The code is kept as it
    is, since a label must be printed again; the unique index finds it. How far the kit is, is not stored: see
    `kits/progress.py`.
    """

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="kits")
    number = models.PositiveSmallIntegerField(_("number"))
    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="kits")
    learners = models.ManyToManyField(Learner, through="KitLearner", related_name="kits")
    document = models.JSONField(null=True, blank=True)
    layout = models.JSONField(default=_no_layout, blank=True)
    layout_version = models.PositiveIntegerField(default=0)
    layout_saved_at = models.DateTimeField(null=True, blank=True)
    stages = models.JSONField(default=list, blank=True)
    code = models.CharField(max_length=CODE_LENGTH, unique=True, default=new_code)
    spare = models.BooleanField(_("spare"), default=False)
    table = models.CharField(_("table"), max_length=20, blank=True)

    class Meta:
        ordering = ["workshop", "number"]
        constraints = [models.UniqueConstraint(fields=["workshop", "number"], name="one_kit_a_number")]

    def __str__(self) -> str:
        return _("Kit {number}").format(number=self.number)

    @property
    def shown_code(self) -> str:
        """The code in groups, as on the label."""
        return grouped(self.code)

    def read(self) -> Document:
        """The kit's circuit (its own, else the revision's) with the kit's layout."""
        circuit = document_from(self.document) if self.document is not None else self.revision.read()
        return circuit.with_layout(layout_from(self.layout))


class KitLearner(models.Model):
    """Who makes which kit: a pair shares one."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE)
    learner = models.ForeignKey(Learner, on_delete=models.CASCADE)

    class Meta:
        ordering = ["kit", "pk"]
        constraints = [models.UniqueConstraint(fields=["kit", "learner"], name="a_learner_once_a_kit")]

    def __str__(self) -> str:
        return f"{self.kit} · {self.learner}"
