"""Photos of an object, where everyone who makes it has permission."""

from __future__ import annotations

import secrets

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.kit import Kit
from kits.models.learner import Learner

__all__ = ["Photo"]


def _file_name(photo: Photo, _name: str) -> str:
    """A name that tells nothing and cannot be guessed; what the file was called is dropped."""
    return f"photos/{secrets.token_urlsafe(18)}.jpg"


class Photo(models.Model):
    """One side of an object at one time: a JPEG of our own making, served only through its view.

    The file goes with the row; see `services/when_deleted.py`.
    """

    class Side(models.TextChoices):
        OUTSIDE = "outside", _("outside")
        INSIDE = "inside", _("inside")

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="photos")
    side = models.CharField(_("side"), max_length=8, choices=Side.choices)
    file = models.FileField(upload_to=_file_name)
    learner = models.ForeignKey(Learner, null=True, on_delete=models.CASCADE, related_name="photos")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"{self.kit} · {self.side}"
