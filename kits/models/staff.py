"""Who stands in for the teacher for a day, and how others are asked to help."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.codes import CODE_LENGTH, grouped, new_code
from kits.models.workshop import Workshop

__all__ = ["Cover", "Invitation"]


class Invitation(models.Model):
    """A code that makes the first user who enters it a helper, or the cover teacher of one day.

    With a code nobody need type a colleague's user name, so no page tells which users there are.
    """

    class Role(models.TextChoices):
        HELPER = "helper", _("helper")
        COVER = "cover", _("cover teacher for a day")

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(_("as"), max_length=6, choices=Role.choices)
    day = models.DateField(_("day"), null=True, blank=True)
    code = models.CharField(max_length=CODE_LENGTH, unique=True, default=new_code)
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(role="cover", day__isnull=False) | models.Q(role="helper", day__isnull=True),
                name="a_day_to_cover_and_only_there",
            )
        ]

    def __str__(self) -> str:
        return f"{self.workshop} · {self.role}"

    @property
    def shown_code(self) -> str:
        """The code in groups, to read out or write down."""
        return grouped(self.code)


class Cover(models.Model):
    """This user stands in for the teacher on this day: sees, counts, helps and gives looks, on no other day."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="covers")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="covers")
    day = models.DateField(_("day"))

    class Meta:
        ordering = ["day", "pk"]
        constraints = [models.UniqueConstraint(fields=["workshop", "user", "day"], name="a_cover_once_a_day")]

    def __str__(self) -> str:
        return f"{self.workshop} · {self.day}"
