"""What comes into the cupboard, what is counted there, and the packs that things are bought in."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import StockItem, StockOffer
from kits.supplies.items import MILLI, Item
from kits.supplies.kit_items import part_item
from projects.circuit.catalogue import catalogue
from projects.said import say_name

__all__ = ["CountForm", "DeliveryForm", "LossForm", "NewItemForm", "OfferForm", "amount_field"]

MOST = 100_000


def amount_field(item: Item, label: Any, *, least: Decimal | int | None = None, **kwargs: Any) -> forms.DecimalField:
    """An amount in an item's unit: whole pieces, or to a hundredth; `cleaned` with `thousandths_of`."""
    pieces = item.kind == "part"
    step = Decimal(1) if pieces else Decimal("0.01")
    return forms.DecimalField(
        label=label,
        min_value=step if least is None else Decimal(least),
        max_value=MOST,
        decimal_places=0 if pieces else 2,
        **kwargs,
    )


class AmountForm(forms.Form):
    """A form about an amount of one item."""

    label: Any = ""
    button: Any = ""
    least: int | None = None

    def __init__(self, item: Item, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("prefix", type(self).__name__.removesuffix("Form").lower())
        super().__init__(*args, **kwargs)
        unit = "" if item.unit in ("piece", "") else f" ({item.unit})"
        self.fields = {"amount": amount_field(item, f"{self.label}{unit}", least=self.least), **self.fields}
        self.helper = FormHelper()
        self.helper.add_input(Submit("", self.button, css_class="btn-secondary"))

    @property
    def amount(self) -> int:
        """In thousandths of the unit."""
        return int(self.cleaned_data["amount"] * MILLI)


class DeliveryForm(AmountForm):
    """So much came."""

    label = _("How much came?")
    button = _("Put it into stock")


class _WithReason(AmountForm):
    reason = forms.CharField(
        label=_("Why?"),
        max_length=200,
        help_text=_("Kept in the ledger for good, so no learner's name."),
        error_messages={"required": _("Write why; the ledger keeps the reason.")},
    )


class CountForm(_WithReason):
    """So much is really there."""

    label = _("How much did you count?")
    button = _("Correct it")
    least = 0


class LossForm(_WithReason):
    """So much is lost or broken."""

    label = _("How much is lost or broken?")
    button = _("Take it out")


class OfferForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """A pack that can be bought."""

    class Meta:
        model = StockOffer
        fields = ("size", "price", "tax_percent", "name")

    def __init__(self, item: StockItem, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("prefix", "offer")
        super().__init__(*args, **kwargs)
        self.instance.item = item
        if item.item.kind == "part":
            self.fields["size"] = forms.DecimalField(
                label=_("How many are in a pack?"), min_value=1, max_value=MOST, decimal_places=0
            )
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Add this pack"), css_class="btn-secondary"))


class NewItemForm(forms.Form):
    """A thing that the cupboard has no place for yet: a part of the catalogue, or a supply by name."""

    part = forms.ChoiceField(label=_("A part"), required=False)
    name = forms.CharField(
        label=_("Or something else"),
        max_length=200,
        required=False,
        help_text=_("Written as in the project, so that its needs find it: felt, needles, stuffing."),
    )
    unit = forms.CharField(
        label=_("Counted in"), max_length=200, required=False, help_text=_("Such as sheet, m or g; empty for pieces.")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        part = self.fields["part"]
        assert isinstance(part, forms.ChoiceField)
        types = [(one.type, say_name(one.name)) for one in catalogue().values()]
        part.choices = [("", _("no part")), *types]
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Give it a place")))

    def clean(self) -> dict[str, Any]:
        """One of the two, and only one."""
        data = super().clean() or {}
        if bool(data.get("part")) == bool(data.get("name")):
            raise forms.ValidationError(_("Choose a part, or write what else it is: one of the two."))
        return data

    @property
    def item(self) -> Item:
        data = self.cleaned_data
        if data["part"]:
            return part_item(catalogue()[data["part"]])
        return Item("supply", "", data["name"], data["unit"] or "piece")
