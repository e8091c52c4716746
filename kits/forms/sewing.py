"""What is typed while sewing: a reading, how a line was really sewn, a photo, a note."""

from __future__ import annotations

import math
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import Photo
from kits.services.sewn_otherwise import Resewn
from projects.circuit.layout import Line

__all__ = ["BENDS", "NoteForm", "PhotoForm", "ReadingForm", "ResewnForm"]

_UNITS = {
    "ohms": [("1", "Ω"), ("1000", "kΩ"), ("1000000", "MΩ")],
    "volts": [("1", "V"), ("0.001", "mV")],
}
_MOST = {"ohms": 1e9, "volts": 1000.0}
BENDS = 4
"""Bends that a learner can type; any number can be drawn."""
MOST_DRAWN = 6000
"""Characters of a drawn way: as many bends as a line may have."""


class ReadingForm(forms.Form):
    """A number as the meter shows it, with a point or a comma, and its unit; or OL.

    Once valid, `reading` is ohms or volts, None where the meter shows OL.
    """

    value = forms.CharField(
        label=_("What does the meter show?"),
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "form-control"}),
    )
    unit = forms.ChoiceField(label=_("unit"), required=False, widget=forms.Select(attrs={"class": "form-select"}))

    def __init__(self, kind: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kind = kind
        unit = self.fields["unit"]
        assert isinstance(unit, forms.ChoiceField)
        unit.choices = _UNITS[kind]

    @property
    def reading(self) -> float | None:
        found: float | None = self.cleaned_data["reading"]
        return found

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "open" in self.data:
            return {**cleaned, "reading": None}
        if "value" not in cleaned:
            return cleaned
        typed = cleaned["value"].strip().replace(",", ".").replace("−", "-")
        try:
            number = float(typed) * float(cleaned.get("unit") or 1)
        except ValueError:
            number = math.nan
        if not typed or not typed.isascii() or "_" in typed or not math.isfinite(number):
            self.add_error("value", _("Type the number that the meter shows. Does it show OL or 1? Tap that button."))
        elif abs(number) > _MOST[self.kind]:
            self.add_error("value", _("No meter shows that much. Look at the number and the unit again."))
        return {**cleaned, "reading": number}


class ResewnForm(forms.Form):
    """How a line was really sewn: between which two places, and along which way."""

    WAYS = [
        ("drawn", _("as I drew it")),
        ("plan", _("the same way as on my plan")),
        ("straight", _("straight")),
        ("bends", _("with these bends:")),
    ]

    start = forms.ChoiceField(label=_("It starts at"))
    end = forms.ChoiceField(label=_("It ends at"))
    way = forms.ChoiceField(label=_("It goes"), choices=WAYS, widget=forms.RadioSelect, initial="plan")
    drawn = forms.CharField(max_length=MOST_DRAWN, required=False, widget=forms.HiddenInput)

    def __init__(self, line: Line, places: list[tuple[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.line = line
        for name in ("start", "end"):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = places
            field.widget.attrs["class"] = "form-select"
        self.fields["start"].initial, self.fields["end"].initial = line.start, line.end
        for number in range(1, BENDS + 1):
            for axis, label in (("x", _("cm from the left")), ("y", _("cm from the top"))):
                self.fields[f"{axis}{number}"] = forms.DecimalField(
                    label=label,
                    required=False,
                    min_value=-1000,
                    max_value=1000,
                    localize=False,
                    widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "form-control", "size": 5}),
                    error_messages={"invalid": _("A bend is a number of cm, such as 4.5.")},
                )

    @property
    def bends(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"x{number}"], self[f"y{number}"]) for number in range(1, BENDS + 1)]

    @property
    def bend_errors(self) -> list[str]:
        return [str(error) for pair in self.bends for field in pair for error in field.errors]

    @property
    def resewn(self) -> Resewn:
        """The line as it was sewn; bends in mm."""
        data = self.cleaned_data
        via: tuple[tuple[float, float], ...] = ()
        if data["way"] == "plan":
            via = tuple((float(x), float(y)) for x, y in self.line.via)
        elif data["way"] == "drawn":
            via = data["drawn"]
        elif data["way"] == "bends":
            pairs = [(data[f"x{number}"], data[f"y{number}"]) for number in range(1, BENDS + 1)]
            via = tuple((float(x) * 10, float(y) * 10) for x, y in pairs if x is not None and y is not None)
        return Resewn(self.line.name, data["start"], data["end"], via)

    def clean_drawn(self) -> tuple[tuple[float, float], ...] | None:
        """Bends in mm, from `12.5,40 30,40`; none of a straight line, None where nothing was drawn."""
        typed: str = self.cleaned_data["drawn"]
        if typed in ("", "straight"):
            return () if typed else None
        pairs = [pair.split(",") for pair in typed.split(" ")]
        try:
            bends = tuple((float(x), float(y)) for x, y in pairs)
        except ValueError:
            return None
        return bends if all(math.isfinite(value) for bend in bends for value in bend) else None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("way") == "drawn" and cleaned.get("drawn") is None:
            self.add_error("way", _("Draw your line on the cloth first."))
        if cleaned.get("start") and cleaned.get("start") == cleaned.get("end"):
            self.add_error("end", _("A line ends somewhere else than it starts."))
        for number in range(1, BENDS + 1):
            x, y = cleaned.get(f"x{number}"), cleaned.get(f"y{number}")
            if cleaned.get("way") == "bends" and (x is None) != (y is None):
                self.add_error(f"y{number}" if y is None else f"x{number}", _("A bend needs both numbers."))
        return cleaned


class PhotoForm(forms.Form):
    """A photo and the side it shows."""

    side = forms.ChoiceField(label=_("Which side?"), choices=Photo.Side.choices, widget=forms.RadioSelect)
    photo = forms.FileField(
        label=_("Photo"),
        widget=forms.ClearableFileInput(
            attrs={"accept": "image/jpeg,image/png,image/webp", "capture": "environment", "class": "form-control"}
        ),
        error_messages={"required": _("Take or choose a photo first."), "empty": _("This file is empty.")},
    )


class NoteForm(forms.Form):
    """A note beside a kit, for teachers and helpers."""

    note = forms.CharField(
        label=_("Note"),
        max_length=300,
        error_messages={"required": _("Write something first.")},
        widget=forms.Textarea(attrs={"rows": 2, "class": "form-control"}),
    )
