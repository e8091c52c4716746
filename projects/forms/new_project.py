"""A project from nothing."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.editing import checked
from projects.circuit.editing.start import start
from projects.circuit.part_types import Cell
from projects.circuit.refusal import Refusal
from projects.forms.edit import dress
from projects.forms.fabric import ShapeFields
from projects.said import say_name, say_refusal

__all__ = ["NewProject"]


class NewProject(ShapeFields):
    """Title, one piece of fabric, and a cell."""

    title = forms.CharField(
        label=gettext_lazy("Title"), max_length=200, help_text=gettext_lazy("What the class makes.")
    )
    piece = forms.CharField(label=gettext_lazy("Name of the first piece of fabric"), max_length=32, initial="front")
    seam_allowance = forms.FloatField(label=gettext_lazy("Seam allowance, mm"), min_value=0, max_value=1000, initial=8)
    cell = forms.ChoiceField(label=gettext_lazy("Cell"))
    field_order = ("title", "cell", "piece", "shape", "width", "height", "radius", "diameter", "points")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cells = [(name, say_name(one.name)) for name, one in catalogue().items() if isinstance(one.model, Cell)]
        self.fields["cell"].choices = cells  # type: ignore[attr-defined]
        for field in self.fields.values():
            dress(field.widget)

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return data
        try:
            if outlines := self.outlines():
                data["document"] = self._document(outlines[0])
        except Refusal as refusal:
            self.add_error(None, say_refusal(refusal))
        return data

    def _document(self, outline: Any) -> Document:
        data = self.cleaned_data
        return checked(start(data["title"], data["piece"], outline, data["seam_allowance"], data["cell"]))
