"""A workshop: one class."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

__all__ = ["Workshop", "covered_today"]


class WorkshopQuerySet(models.QuerySet["Workshop"]):
    def taught_by(self, user: AbstractBaseUser | AnonymousUser) -> WorkshopQuerySet:
        """Workshops of which this user is the teacher."""
        return self.filter(owner_id=user.pk) if user.is_authenticated else self.none()

    def staffed_by(self, user: AbstractBaseUser | AnonymousUser) -> WorkshopQuerySet:
        """Workshops of which this user is the teacher, a helper, or the cover teacher of today; each once."""
        if not user.is_authenticated:
            return self.none()
        owned = Workshop.objects.filter(owner_id=user.pk).order_by()
        helped = Workshop.helpers.through.objects.filter(user_id=user.pk)
        covers = apps.get_model("kits", "Cover").objects.filter(user_id=user.pk, day=timezone.localdate()).order_by()
        # Each part has an index of its own; joined by "or" they would have every workshop of the site read.
        ids = owned.values("pk").union(helped.values("workshop_id"), covers.values("workshop_id"))
        return self.filter(pk__in=ids)

    def held_by(self, user: AbstractBaseUser | AnonymousUser) -> WorkshopQuerySet:
        """Workshops whose class this user holds: the teacher's own, and those covered today."""
        return self.filter(Q(owner_id=user.pk) | covered_today(user)) if user.is_authenticated else self.none()


def covered_today(user: AbstractBaseUser | AnonymousUser, outer: str = "pk") -> Exists:
    """Whether this user stands in today for the teacher of the workshop whose id `outer` names."""
    covers = apps.get_model("kits", "Cover")  # its file imports this one
    return Exists(covers.objects.filter(workshop_id=OuterRef(outer), user_id=user.pk or 0, day=timezone.localdate()))


def _usual() -> dict[str, Any]:
    return {}


class Workshop(models.Model):
    """One class: its roster, sessions and kits.

    `names_erased_at`: when its personal data was deleted; numbers and stages stay. `learners_out_at`: whoever joined a
    kit before then is signed out. `habits`: what its teacher has set otherwise than usual, read by `habits_of`.
    """

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="workshops")
    title = models.CharField(_("title"), max_length=120)
    place = models.CharField(_("place"), max_length=120, blank=True)
    helpers = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="workshops_helped", blank=True)
    set_out_minutes = models.PositiveSmallIntegerField(
        _("minutes to set out"), default=10, validators=[MaxValueValidator(120)]
    )
    layout_minutes = models.PositiveSmallIntegerField(
        _("minutes to make the layout"), default=20, validators=[MaxValueValidator(300)]
    )
    count_back_minutes = models.PositiveSmallIntegerField(
        _("minutes to count back"), default=10, validators=[MaxValueValidator(120)]
    )
    habits = models.JSONField(default=_usual, blank=True, editable=False)
    created = models.DateTimeField(default=timezone.now, editable=False)
    names_erased_at = models.DateTimeField(null=True, blank=True, editable=False)
    learners_out_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = WorkshopQuerySet.as_manager()

    class Meta:
        ordering = ["-created", "-pk"]

    def __str__(self) -> str:
        return self.title
