"""A workshop: one class."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

__all__ = ["Workshop"]


class WorkshopQuerySet(models.QuerySet["Workshop"]):
    def taught_by(self, user: AbstractBaseUser | AnonymousUser) -> WorkshopQuerySet:
        """Workshops of which this user is the teacher."""
        return self.filter(owner_id=user.pk) if user.is_authenticated else self.none()

    def staffed_by(self, user: AbstractBaseUser | AnonymousUser) -> WorkshopQuerySet:
        """Workshops of which this user is the teacher or a helper; each once."""
        if not user.is_authenticated:
            return self.none()
        helping = Workshop.helpers.through.objects.filter(workshop_id=OuterRef("pk"), user_id=user.pk)
        return self.filter(Q(owner_id=user.pk) | Exists(helping))


class Workshop(models.Model):
    """One class: its roster, sessions and kits."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="workshops")
    title = models.CharField(_("title"), max_length=120)
    place = models.CharField(_("place"), max_length=120, blank=True)
    helpers = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="workshops_helped", blank=True)
    created = models.DateTimeField(default=timezone.now, editable=False)

    objects = WorkshopQuerySet.as_manager()

    class Meta:
        ordering = ["-created", "-pk"]

    def __str__(self) -> str:
        return self.title
