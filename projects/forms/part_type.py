"""A part type by form: what it is, its body, its terminals, its model, its price."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.circuit.document import Document
from projects.circuit.editing.outlines import points_of
from projects.circuit.editing.part_types import put_part_type, read_part_type, remove_part_type
from projects.circuit.part_types import Circle, PartType, Polygon, Rectangle
from projects.circuit.refusal import Refusal
from projects.forms.edit import EditForm
from projects.forms.part_type_fields import KINDS, NUMBERS, lines_of, model_value
from projects.said import say_refusal

__all__ = ["PartTypeForm", "RemovePartType", "TerminalFormSet", "initial_of", "terminals_of"]

_NAME_HELP = gettext_lazy("A letter, then letters, digits, _ or -.")


class TerminalForm(forms.Form):
    """One terminal: where it is from the middle of the part, and what it is."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=32, required=False)
    label = forms.CharField(label=gettext_lazy("Printed"), max_length=12, required=False)
    x = forms.FloatField(label=gettext_lazy("Right, mm"), required=False)
    y = forms.FloatField(label=gettext_lazy("Down, mm"), required=False)
    role = forms.ChoiceField(
        label=gettext_lazy("Role"),
        required=False,
        choices=[("", "–"), ("positive", "+"), ("negative", "−"), ("pin", gettext_lazy("pin"))],
    )
    can = forms.MultipleChoiceField(
        label=gettext_lazy("A pin can"),
        required=False,
        choices=[
            ("digital", gettext_lazy("digital")),
            ("pwm", gettext_lazy("fade")),
            ("analog", gettext_lazy("analog")),
            ("touch", gettext_lazy("touch")),
        ],
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("name", "label", "x", "y"):
            self.fields[name].widget.attrs.update({"class": "form-control", "step": "any"})
        self.fields["role"].widget.attrs["class"] = "form-select"
        self.fields["can"].widget.attrs["class"] = "form-check-input"

    def value(self) -> dict[str, Any] | None:
        """The terminal as JSON values; None for a row without a name, which is no terminal."""
        data = self.cleaned_data
        if not data.get("name"):
            return None
        value: dict[str, Any] = {"name": data["name"], "label": data["label"], "x": data["x"] or 0, "y": data["y"] or 0}
        if data["role"]:
            value["role"] = data["role"]
        if data["role"] == "pin":
            value["can"] = data["can"]
        return value


TerminalFormSet = forms.formset_factory(TerminalForm, extra=2, max_num=64, validate_max=True, absolute_max=80)


class PartTypeForm(EditForm):
    """A part type of the project's own; numbers of kinds that it is not stay in the form and out of the file."""

    what, section, submit = "part-type", "part-types", gettext_lazy("Keep this part type")
    old_name = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)
    type = forms.CharField(label=gettext_lazy("Name in the file"), max_length=32, help_text=_NAME_HELP)
    name = forms.CharField(label=gettext_lazy("What it is called"), max_length=200)
    kind = forms.ChoiceField(label=gettext_lazy("What it does"), choices=KINDS)
    shape = forms.ChoiceField(
        label=gettext_lazy("Body"),
        choices=[
            ("rectangle", gettext_lazy("Rectangle")),
            ("circle", gettext_lazy("Circle")),
            ("polygon", gettext_lazy("Drawn, point by point")),
        ],
    )
    width = forms.FloatField(label=gettext_lazy("Width, mm"), required=False)
    height = forms.FloatField(label=gettext_lazy("Height, mm"), required=False)
    diameter = forms.FloatField(label=gettext_lazy("Diameter, mm"), required=False)
    points = forms.CharField(
        label=gettext_lazy("Points from its middle, mm"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy("One point a line, such as −5, 2.5"),
    )
    terminal_radius = forms.FloatField(label=gettext_lazy("Radius of a terminal, mm"), initial=2)
    joined = forms.CharField(
        label=gettext_lazy("Joined inside the part"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("Terminals that are one inside, a line for each group, such as: p1 p2"),
    )
    no_sew = forms.BooleanField(label=gettext_lazy("No thread beneath it: bare metal on its underside"), required=False)
    colour = forms.CharField(
        label=gettext_lazy("Colour"),
        max_length=20,
        initial="black",
        help_text=gettext_lazy("A word, or # and six signs."),
    )
    price = forms.FloatField(label=gettext_lazy("Price of a pack"), initial=0, min_value=0)
    pack = forms.IntegerField(label=gettext_lazy("Parts in a pack"), initial=1, min_value=1)
    loss = forms.FloatField(
        label=gettext_lazy("Lost or broken, as a share"), initial=0.05, help_text=gettext_lazy("0.05 is one in twenty.")
    )
    momentary = forms.BooleanField(label=gettext_lazy("Springs back to its first position"), required=False)
    switch_lines = forms.CharField(
        label=gettext_lazy("Positions"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        initial="off:\non: a-b",
        help_text=gettext_lazy("One a line: its name, a colon, and the terminals that it joins."),
    )
    sensor_lines = forms.CharField(
        label=gettext_lazy("Levels"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        initial="dark: 200000\nbright: 1500",
        help_text=gettext_lazy("One a line: its name, a colon, and the ohms there."),
    )

    def prepare(self) -> None:
        for kind, numbers in NUMBERS.items():
            for one in numbers:
                field = forms.FloatField(label=one.label, required=False, initial=one.first, localize=False)
                self.fields[f"{kind}_{one.name}"] = field
        self.terminals = TerminalFormSet(
            self.data if self.is_bound else None,
            initial=None if self.is_bound else self.initial.get("terminals"),
            prefix="terminals",
        )

    def groups(self) -> list[tuple[str, Any, list[forms.BoundField]]]:
        """Kind, its words, and its own fields, for the page."""
        extra = {"switch": ["switch_lines", "momentary"], "sensor": ["sensor_lines"]}
        return [
            (
                kind,
                words,
                [self[f"{kind}_{n.name}"] for n in NUMBERS.get(kind, ())] + [self[f] for f in extra.get(kind, ())],
            )
            for kind, words in KINDS
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.terminals.is_valid():
            self.add_error(None, _("Look at the terminals: a number there cannot be read."))
        elif not self.errors:
            try:
                data["part_type"] = self._read()
            except Refusal as refusal:
                place = refusal.place.removeprefix("project.part_types[0]").lstrip(".") or str(_("the part type"))
                self.add_error(None, say_refusal(Refusal(place, refusal.wrong, refusal.allowed)))
        return data

    def _read(self) -> PartType:
        data = self.cleaned_data
        terminals = [value for form in self.terminals.forms if (value := form.value()) is not None]
        joined = [line.replace(",", " ").split() for line in data["joined"].splitlines() if line.strip()]
        value = {
            key: data[key] for key in ("type", "name", "terminal_radius", "no_sew", "colour", "price", "pack", "loss")
        }
        return read_part_type(
            {
                **value,
                "body": self._body(),
                "terminals": terminals,
                "joined": joined,
                "model": model_value(data["kind"], data),
            }
        )

    def _body(self) -> dict[str, Any]:
        data = self.cleaned_data
        if data["shape"] == "circle":
            return {"shape": "circle", "diameter": data["diameter"]}
        if data["shape"] == "polygon":
            return {
                "shape": "polygon",
                "points": [list(point) for point in points_of(data["points"].replace("−", "-"))],
            }
        return {"shape": "rectangle", "width": data["width"], "height": data["height"]}

    def change(self, document: Document) -> Document:
        return put_part_type(document, self.cleaned_data["part_type"], self.cleaned_data["old_name"])

    def said(self) -> str:
        return _("kept the part type {name}").format(name=self.cleaned_data["type"])


class RemovePartType(EditForm):
    """An own part type taken out."""

    what, section, submit = "remove-part-type", "part-types", gettext_lazy("Take it out")
    type = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return remove_part_type(document, self.cleaned_data["type"])

    def said(self) -> str:
        return _("took the part type {name} out").format(name=self.cleaned_data["type"])


def initial_of(part_type: PartType) -> dict[str, Any]:
    """A part type as the form shows it."""
    body, model = part_type.body, part_type.model
    initial: dict[str, Any] = {
        key: getattr(part_type, key)
        for key in ("type", "name", "terminal_radius", "no_sew", "colour", "price", "pack", "loss")
    }
    initial |= {"kind": model.kind, "shape": body.shape, "joined": "\n".join(" ".join(g) for g in part_type.joined)}
    if isinstance(body, Circle):
        initial["diameter"] = body.diameter
    elif isinstance(body, Rectangle):
        initial |= {"width": body.width, "height": body.height}
    elif isinstance(body, Polygon):
        initial["points"] = "\n".join(f"{x:g}, {y:g}" for x, y in body.points)
    initial |= {f"{model.kind}_{one.name}": getattr(model, one.name) for one in NUMBERS.get(model.kind, ())}
    if lines := lines_of(model):
        initial[f"{model.kind}_lines"] = lines
    initial["momentary"] = bool(getattr(model, "momentary", False))
    initial["terminals"] = terminals_of(part_type)
    return initial


def terminals_of(part_type: PartType) -> list[dict[str, Any]]:
    """Its terminals as rows of the form."""
    return [
        {"name": one.name, "label": one.label, "x": one.x, "y": one.y, "role": one.role or "", "can": list(one.can)}
        for one in part_type.terminals
    ]
