"""What goes into kits beyond their own materials, what comes back, and what came from the shop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from kits.forms.stock import MOST, amount_field
from kits.supplies.items import MILLI, Item
from kits.supplies.wording import spoken_amount, units_of
from projects.circuit.sewing import Habits
from projects.said import say_name

__all__ = ["AmountsForm", "SpareForm", "WasteForm"]


class SpareForm(forms.Form):
    """A spare of something that the kit has, or may have."""

    item = forms.ChoiceField(label=_("What"))
    amount = forms.DecimalField(label=_("How much"), min_value=0, max_value=MOST, decimal_places=2, initial=1)
    reason = forms.CharField(
        label=_("Why?"), max_length=200, required=False, help_text=_("Stands in the kit's record; may stay empty.")
    )

    def __init__(self, items: Mapping[Item, int], *args: Any, **kwargs: Any) -> None:
        """`items`: what can be given, each with how much of it is at hand."""
        kwargs.setdefault("prefix", "spare")
        super().__init__(*args, **kwargs)
        self.items = {item.key: item for item in items}
        choice = self.fields["item"]
        assert isinstance(choice, forms.ChoiceField)
        choice.choices = [(item.key, _said(item, at_hand)) for item, at_hand in items.items()]
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Give it"), css_class="btn-secondary"))

    def clean(self) -> dict[str, Any]:
        """More than nothing, and parts only whole."""
        data = super().clean() or {}
        amount = data.get("amount")
        if amount is not None and amount <= 0:
            self.add_error("amount", _("Give more than nothing."))
        elif amount is not None and "item" in data and self.items[data["item"]].kind == "part" and amount % 1:
            self.add_error("amount", _("Parts are given whole."))
        return data

    @property
    def given(self) -> Item:
        return self.items[self.cleaned_data["item"]]

    @property
    def thousandths(self) -> int:
        """How much of it, in thousandths of its unit."""
        return int(self.cleaned_data["amount"] * MILLI)


class AmountsForm(forms.Form):
    """An amount for each of several things, named by their keys."""

    def __init__(self, items: Mapping[Item, int], *args: Any, button: Any, suggest: bool, **kwargs: Any) -> None:
        """`items`: what is asked about, each with an amount: with `suggest`, it stands in the field at first; without,
        it is the most that can be entered, said beside the name."""
        super().__init__(*args, **kwargs)
        self.items: Sequence[Item] = list(items)
        for item, amount in items.items():
            unit = "" if item.unit in ("piece", "") else f" ({item.unit})"
            first = units_of(amount) if suggest else 0
            label = f"{say_name(item.name)}{unit}" if suggest else _of(item, amount)
            self.fields[item.key] = amount_field(item, label, least=0, required=False, initial=first)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", button))

    def amounts(self) -> dict[Item, int]:
        """What was entered, in thousandths of each unit; what was left empty is left out."""
        found = {item: self.cleaned_data.get(item.key) for item in self.items}
        return {item: int(amount * MILLI) for item, amount in found.items() if amount}


class WasteForm(forms.Form):
    """How much thread is lost in this class, and how sure its spares must be, in percent."""

    waste = forms.DecimalField(
        label=_("Thread lost in class (%)"),
        min_value=0,
        max_value=100,
        decimal_places=1,
        help_text=_("Usually 10 to 15; it goes into each bag on top of what the layout takes."),
    )
    sure = forms.DecimalField(
        label=_("How sure that the spare parts suffice (%)"), min_value=50, max_value=Decimal("99.9"), decimal_places=1
    )

    def __init__(self, habits: Habits, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"waste": _percent(habits.waste_share), "sure": _percent(habits.sure_share)}
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Reckon with that"), css_class="btn-secondary"))

    def shares(self) -> tuple[float, float]:
        """Waste and sureness as shares of one."""
        return float(self.cleaned_data["waste"] / 100), float(self.cleaned_data["sure"] / 100)


def _percent(share: float) -> str:
    return f"{share * 100:.3g}"


def _said(item: Item, at_hand: int) -> str:
    return str(_("{name} ({amount} at hand)")).format(name=say_name(item.name), amount=spoken_amount(item, at_hand))


def _of(item: Item, most: int) -> str:
    return str(_("{name}, of {amount}")).format(name=say_name(item.name), amount=spoken_amount(item, most))
