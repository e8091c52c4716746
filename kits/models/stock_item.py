"""A stock item: one kind of thing in a teacher's cupboard, and the packs that it is bought in."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from kits.supplies.items import Item, ItemKind, Offer, offer_of

__all__ = ["StockItem", "StockOffer"]


class StockItemQuerySet(models.QuerySet["StockItem"]):
    def of(self, user: AbstractBaseUser | AnonymousUser) -> StockItemQuerySet:
        """What is in this user's own cupboard."""
        return self.filter(owner_id=user.pk) if user.is_authenticated else self.none()


class StockItem(models.Model):
    """One kind of thing that a teacher keeps: a part type, a thread, a supply.

    How much there is, is not stored here: the newest StockMovement says it. Whoever adds a movement locks this row.
    """

    class Kind(models.TextChoices):
        PART = "part", _("part")
        THREAD = "thread", _("thread")
        SUPPLY = "supply", _("supply")

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="stock_items")
    kind = models.CharField(_("kind"), max_length=8, choices=Kind.choices)
    code = models.CharField(max_length=64, blank=True)
    name = models.CharField(_("name"), max_length=200)
    unit = models.CharField(_("unit"), max_length=200)

    objects = StockItemQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "name", "code", "unit", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["owner", "kind", "code", "name", "unit"], name="one_item_a_kind_of_thing")
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def item(self) -> Item:
        """What it is, as a value."""
        kinds: dict[str, ItemKind] = {"part": "part", "thread": "thread", "supply": "supply"}
        return Item(kinds[self.kind], self.code, self.name, self.unit)


class StockOffer(models.Model):
    """A pack that can be bought: how much is in it, its price and the tax on that, as the teacher enters them."""

    item = models.ForeignKey(StockItem, on_delete=models.CASCADE, related_name="offers")
    name = models.CharField(_("where, or what is on the pack"), max_length=80, blank=True)
    size = models.DecimalField(
        _("how much is in a pack"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))]
    )
    price = models.DecimalField(_("price of a pack"), max_digits=9, decimal_places=2, validators=[MinValueValidator(0)])
    tax_percent = models.DecimalField(
        _("tax on top, in percent"),
        max_digits=5,
        decimal_places=2,
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )

    class Meta:
        ordering = ["item", "size", "pk"]

    def __str__(self) -> str:
        return f"{self.item} · {self.size}"

    @property
    def offer(self) -> Offer:
        """The pack as a value, with tax."""
        return offer_of(self.size, self.price, self.tax_percent, self.name)
