"""Edits of title, thread, distances, settings and supplies, each with its unit and what it is for."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.circuit.document import Document
from projects.circuit.editing import facts, supplies
from projects.circuit.project import Settings, Supply, Thread
from projects.forms.edit import EditForm

__all__ = ["AddSupply", "ChangeSupply", "Distances", "RemoveSupply", "SettingsForm", "ThreadForm", "Title"]

_MOST = 1e6


def _number(label: Any, help_text: Any, *, zero: bool = False, most: float = _MOST) -> Any:
    return forms.FloatField(
        label=label, help_text=help_text, min_value=0 if zero else 1e-9, max_value=most, localize=False
    )


class Title(EditForm):
    """The project's title."""

    what, section = "title", "supplies"
    title = forms.CharField(label=gettext_lazy("Title"), max_length=200)

    def change(self, document: Document) -> Document:
        return facts.set_title(document, self.cleaned_data["title"])

    def said(self) -> str:
        return _("changed the title")


class ThreadForm(EditForm):
    """The thread as bought, and how it joins."""

    what, section = "thread", "supplies"
    ohms_per_metre = _number(
        gettext_lazy("Ohms a metre"),
        gettext_lazy("Of one strand. Stretch a metre, measure it, and enter what the meter shows."),
    )
    tolerance = _number(
        gettext_lazy("Spread"),
        gettext_lazy("How far a metre may be off, as a share: 0.3 is 30 %."),
        most=1,
    )
    strands = forms.IntegerField(
        label=gettext_lazy("Strands"),
        min_value=1,
        max_value=16,
        help_text=gettext_lazy("2: folded in half, and both ends knotted together."),
    )
    take_up = _number(
        gettext_lazy("Take-up"),
        gettext_lazy(
            "Thread sewn in for each length of line. 1 + fabric thickness / stitch: 1.2 for 1 mm felt, 5 mm stitches."
        ),
    )
    contact_ohms = _number(
        gettext_lazy("Ohms at a terminal"), gettext_lazy("Where it is sewn tight over the rim."), zero=True
    )
    crossing_ohms = _number(
        gettext_lazy("Ohms where threads touch"), gettext_lazy("One bare thread lying on another."), zero=True
    )
    spool_metres = _number(gettext_lazy("Metres on a spool"), gettext_lazy("As bought."))
    spool_price = _number(gettext_lazy("Price of a spool"), gettext_lazy("In your own money."), zero=True)

    def change(self, document: Document) -> Document:
        return facts.set_thread(document, Thread.model_construct(**_of(self, Thread)))

    def said(self) -> str:
        return _("changed the thread")


class Distances(EditForm):
    """How far lines keep apart."""

    what, section = "distances", "supplies"
    spacing = _number(gettext_lazy("Lines keep apart, mm"), gettext_lazy("Closer than this, the check says so."))
    contact = _number(
        gettext_lazy("Lines touch within, mm"),
        gettext_lazy("Loose thread moves: what lies closer than this counts as touching."),
    )

    def change(self, document: Document) -> Document:
        return facts.set_distances(document, self.cleaned_data["spacing"], self.cleaned_data["contact"])

    def said(self) -> str:
        return _("changed the distances between lines")


class SettingsForm(EditForm):
    """Stitches, and what counts as lit and as long enough."""

    what, section = "settings", "supplies"
    stitch_mm = _number(gettext_lazy("Stitch, mm"), gettext_lazy("From one hole to the next. 3 to 6 is usual."))
    working_mm = _number(
        gettext_lazy("Longest thread, mm"),
        gettext_lazy("No longer than an arm when folded, or it knots. 460 to 610 is usual."),
    )
    dark_amps = _number(gettext_lazy("Dark below, A"), gettext_lazy("With less current a light counts as dark."))
    dim_amps = _number(gettext_lazy("Dim below, A"), gettext_lazy("With less current a light counts as dim."))
    hours = _number(
        gettext_lazy("Hours it should run"),
        gettext_lazy("On one cell with everything on; less, and the check says so."),
    )

    def change(self, document: Document) -> Document:
        return facts.set_settings(document, Settings.model_construct(**_of(self, Settings)))

    def said(self) -> str:
        return _("changed the settings")


def _of(form: EditForm, value: type[Thread] | type[Settings]) -> dict[str, Any]:
    return {name: form.cleaned_data[name] for name in value.model_fields}


class AddSupply(EditForm):
    """One more supply."""

    what, section, submit = "add-supply", "supplies", gettext_lazy("Add it")
    name = forms.CharField(label=gettext_lazy("What"), max_length=200)
    amount = forms.FloatField(label=gettext_lazy("Amount"), min_value=1e-9, max_value=_MOST, initial=1)
    unit = forms.CharField(label=gettext_lazy("Unit"), max_length=200, initial="piece", required=False)
    per = forms.ChoiceField(
        label=gettext_lazy("For each"),
        choices=[
            ("kit", gettext_lazy("kit")),
            ("learner", gettext_lazy("learner")),
            ("workshop", gettext_lazy("class")),
        ],
    )
    price = forms.FloatField(label=gettext_lazy("Price of one unit"), min_value=0, max_value=_MOST, initial=0)

    @property
    def supply(self) -> Supply:
        """What was entered."""
        return Supply.model_construct(**{name: self.cleaned_data[name] for name in Supply.model_fields})

    def change(self, document: Document) -> Document:
        return supplies.add_supply(document, self.supply)

    def said(self) -> str:
        return _("added a supply: {name}").format(name=self.cleaned_data["name"])


class ChangeSupply(AddSupply):
    """A supply as it should be."""

    what, submit = "change-supply", gettext_lazy("Save")
    number = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return supplies.change_supply(document, self.cleaned_data["number"], self.supply)

    def said(self) -> str:
        return _("changed a supply: {name}").format(name=self.cleaned_data["name"])


class RemoveSupply(EditForm):
    """A supply taken off the list."""

    what, section, submit = "remove-supply", "supplies", gettext_lazy("Take it off")
    number = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return supplies.remove_supply(document, self.cleaned_data["number"])

    def said(self) -> str:
        return _("took a supply off the list")
