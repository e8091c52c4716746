"""Counting tools and cells out, and back in."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.append_only import AppendOnly
from kits.models.kit import Kit
from kits.models.session import Session
from kits.models.workshop import Workshop

__all__ = ["ClosingReason", "ToolClosing", "ToolCount", "ToolKind", "ToolTray"]


class ToolKind(models.Model):
    """A kind of thing that is counted out and back; `usual` is how many lie in a tray as a rule.

    `in_objects`: cells, which may go home in a finished object. What was once counted is not deleted but
    no longer `in_use`.
    """

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="tool_kinds")
    name = models.CharField(_("what"), max_length=60)
    order = models.PositiveSmallIntegerField(default=0)
    usual = models.PositiveSmallIntegerField(_("usually in a tray"), default=0)
    in_objects = models.BooleanField(_("may go home in the object"), default=False)
    in_use = models.BooleanField(_("counted"), default=True)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.name


class ToolTray(models.Model):
    """A tray, which goes to one table."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="tool_trays")
    name = models.CharField(_("tray"), max_length=40)
    order = models.PositiveSmallIntegerField(default=0)
    in_use = models.BooleanField(_("in use"), default=True)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.name


class ToolCount(AppendOnly):
    """So many more (or fewer) of one kind were counted out of, or back into, one tray.

    The count is the sum of its changes, so two people who count at once never overwrite each other.
    Of `home`, `kit` is the object that a cell went home in.
    """

    class Way(models.TextChoices):
        OUT = "out", _("out")
        BACK = "back", _("back")
        HOME = "home", _("went home in the object")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="tool_counts")
    tray = models.ForeignKey(ToolTray, on_delete=models.CASCADE, related_name="+")
    kind = models.ForeignKey(ToolKind, on_delete=models.CASCADE, related_name="+")
    way = models.CharField(max_length=4, choices=Way.choices)
    change = models.SmallIntegerField()
    kit = models.ForeignKey(Kit, null=True, on_delete=models.CASCADE, related_name="cells_home")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~models.Q(change=0), name="a_count_changes_something"),
            models.CheckConstraint(
                condition=models.Q(way="home", kit__isnull=False)
                | (~models.Q(way="home") & models.Q(kit__isnull=True)),
                name="home_in_a_kit_and_only_home",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} · {self.way} {self.change:+d}"


class ToolClosing(AppendOnly):
    """A session's count was closed with so many missing, or opened again; the newest one holds."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="closings")
    closed = models.BooleanField()
    short = models.PositiveSmallIntegerField(default=0)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.session} · {self.short}"


class ClosingReason(models.Model):
    """Why a count was closed short; beside it, so that it can be blanked with a class's personal data."""

    closing = models.OneToOneField(ToolClosing, on_delete=models.CASCADE, related_name="reason")
    text = models.CharField(_("reason"), max_length=300, blank=True)

    def __str__(self) -> str:
        return self.text
