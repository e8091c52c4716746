"""Stock movements: the ledger of a cupboard, which is never rewritten."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.append_only import AppendOnly
from kits.models.kit import Kit
from kits.models.stock_item import StockItem
from kits.models.workshop import Workshop

__all__ = ["StockMovement"]


class StockMovement(AppendOnly):
    """One movement of one item; all amounts in whole thousandths of its unit.

    `change` is what came into the cupboard (negative: went out), `reserve_change` what was set aside for
    `workshop` (negative: no longer). `on_hand` and `reserved` are the balances after it, and `number` counts the
    item's movements: two that were reckoned from the same balance would have one number, and the database refuses
    the second, as it refuses a balance below zero and more reserved than there is.
    """

    class Kind(models.TextChoices):
        DELIVERED = "delivered", _("delivered")
        CORRECTED = "corrected", _("corrected")
        LOST = "lost", _("lost or broken")
        RESERVED = "reserved", _("reserved")
        RELEASED = "released", _("no longer reserved")
        PACKED = "packed", _("packed")
        UNPACKED = "unpacked", _("taken out of a kit again")
        SPARE = "spare", _("spare given")
        SET_OUT = "set-out", _("set out for all")
        RETURNED = "returned", _("put back")

    item = models.ForeignKey(StockItem, on_delete=models.CASCADE, related_name="movements")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=12, choices=Kind.choices)
    change = models.BigIntegerField(default=0)
    reserve_change = models.BigIntegerField(default=0)
    on_hand = models.BigIntegerField()
    reserved = models.BigIntegerField()
    workshop = models.ForeignKey(Workshop, null=True, on_delete=models.SET_NULL, related_name="stock_movements")
    kit = models.ForeignKey(Kit, null=True, on_delete=models.SET_NULL, related_name="stock_movements")
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["item", "number"]
        constraints = [
            models.UniqueConstraint(fields=["item", "number"], name="one_movement_a_number"),
            models.CheckConstraint(condition=Q(reserved__gte=0), name="never_less_than_nothing_reserved"),
            models.CheckConstraint(condition=Q(on_hand__gte=F("reserved")), name="never_more_reserved_than_on_hand"),
            models.CheckConstraint(
                condition=~Q(kind__in=["corrected", "lost"]) | ~Q(reason=""), name="a_correction_has_a_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.item} · {self.number}"
