"""A learner: a name to call them by, and nothing more."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from kits.models.workshop import Workshop

__all__ = ["Learner"]


class Learner(models.Model):
    """One of the class. The display name is the only personal data that is kept of them."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="learners")
    display_name = models.CharField(_("name"), max_length=40)
    left_handed = models.BooleanField(_("left-handed"), default=False)
    photos_allowed = models.BooleanField(_("photos allowed"), default=False)

    class Meta:
        ordering = ["display_name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["workshop", "display_name"],
                condition=~models.Q(display_name=""),  # erased learners have no name any more
                name="one_name_a_workshop",
            )
        ]

    def __str__(self) -> str:
        return self.display_name or str(_("no name any more"))
