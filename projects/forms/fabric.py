"""Edits of the fabric: pieces, what faces what, thread over a seam."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.circuit.document import Document
from projects.circuit.editing import pieces
from projects.circuit.editing.outlines import Outline, circle, points_of, rectangle, rounded
from projects.circuit.refusal import Refusal
from projects.circuit.svg_outline import MAX_SVG_BYTES, outlines_of
from projects.forms.edit import EditForm, choices_of
from projects.said import say_refusal

__all__ = ["AddPiece", "AddSeamCrossing", "ChangePiece", "RemovePiece", "SetFacing", "ShapeFields"]

_MM = [MinValueValidator(1), MaxValueValidator(10_000)]
SHAPES = (
    ("rectangle", gettext_lazy("Rectangle")),
    ("rounded", gettext_lazy("Rectangle with rounded corners")),
    ("circle", gettext_lazy("Circle")),
    ("polygon", gettext_lazy("Drawn, point by point")),
)


class ShapeFields(forms.Form):
    """An outline by a shape and its measures in mm."""

    shape = forms.ChoiceField(label=gettext_lazy("Shape"), choices=SHAPES, initial="rectangle")
    width = forms.FloatField(label=gettext_lazy("Width, mm"), required=False, initial=160, validators=_MM)
    height = forms.FloatField(label=gettext_lazy("Height, mm"), required=False, initial=120, validators=_MM)
    radius = forms.FloatField(label=gettext_lazy("Corner radius, mm"), required=False, initial=15, validators=_MM)
    diameter = forms.FloatField(label=gettext_lazy("Diameter, mm"), required=False, initial=140, validators=_MM)
    points = forms.CharField(
        label=gettext_lazy("Points, mm"),
        required=False,
        max_length=60_000,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text=gettext_lazy("One point a line: from the left, from the top. Or tap the drawing."),
    )

    def outlines(self) -> tuple[Outline, ...]:
        """The outlines that were asked for; none where a measure is missing, which is then marked."""
        data = self.cleaned_data
        need = {"rectangle": ("width", "height"), "circle": ("diameter",), "polygon": ("points",)}
        need["rounded"] = ("width", "height", "radius")
        missing = [name for name in need.get(data["shape"], ()) if not data.get(name)]
        for name in missing:
            if name not in self.errors:
                self.add_error(name, _("This shape needs it."))
        if missing:
            return ()
        if data["shape"] == "circle":
            return (circle(data["diameter"]),)
        if data["shape"] == "rounded":
            return (rounded(data["width"], data["height"], data["radius"]),)
        if data["shape"] == "polygon":
            return (points_of(data["points"]),)
        return (rectangle(data["width"], data["height"]),)


class _Outlined(EditForm, ShapeFields):
    """A piece whose outline may also come from an SVG file."""

    section, look = "fabric", "shape-form"
    file = forms.FileField(
        label=gettext_lazy("SVG file"),
        required=False,
        widget=forms.FileInput(attrs={"accept": ".svg,image/svg+xml"}),
        help_text=gettext_lazy("Its width and height must be in mm, cm or inches. Only outlines are taken over."),
    )
    seam_allowance = forms.FloatField(label=gettext_lazy("Seam allowance, mm"), min_value=0, max_value=1000, initial=8)
    field_order = ("version", "piece", "name", "shape", "width", "height", "radius", "diameter", "points", "file")

    def prepare(self) -> None:
        svg = ("svg", gettext_lazy("Outlines of an SVG file"))
        self.fields["shape"].choices = [*self.more_shapes(), *SHAPES, svg]  # type: ignore[attr-defined]

    def more_shapes(self) -> list[tuple[str, Any]]:
        return []

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        if "shape" in data and not self.errors:
            try:
                data["outlines"] = self._found()
            except Refusal as refusal:
                field = "file" if data["shape"] == "svg" else "points"
                self.add_error(field, say_refusal(refusal))
        return data

    def _found(self) -> tuple[Outline, ...]:
        if self.cleaned_data["shape"] != "svg":
            return self.outlines()
        upload = self.cleaned_data.get("file")
        if upload is None:
            self.add_error("file", _("Choose the SVG file."))
            return ()
        return outlines_of(upload.read(MAX_SVG_BYTES + 1))


class AddPiece(_Outlined):
    """One more piece of fabric, or all that an SVG file draws."""

    what, submit = "add-piece", gettext_lazy("Add the piece")
    name = forms.CharField(label=gettext_lazy("Name"), max_length=32, help_text=gettext_lazy("Such as back or pocket."))

    def change(self, document: Document) -> Document:
        data = self.cleaned_data
        return pieces.add_pieces(document, data["name"], data["outlines"], data["seam_allowance"])

    def said(self) -> str:
        return _("added the piece {name}").format(name=self.cleaned_data["name"])


class ChangePiece(_Outlined):
    """A piece with another name, allowance or outline."""

    what = "change-piece"
    piece = forms.CharField(max_length=64, widget=forms.HiddenInput)
    name = forms.CharField(label=gettext_lazy("Name"), max_length=32)

    def more_shapes(self) -> list[tuple[str, Any]]:
        return [("keep", gettext_lazy("As it is"))]

    def _found(self) -> tuple[Outline, ...]:
        if self.cleaned_data["shape"] == "keep":
            return ()
        found = super()._found()
        if len(found) > 1:
            self.add_error("file", _("The file draws several outlines. Leave one, or add them as new pieces."))
        return found

    def change(self, document: Document) -> Document:
        data = self.cleaned_data
        outline = data["outlines"][0] if data["outlines"] else None
        return pieces.change_piece(document, data["piece"], data["name"], data["seam_allowance"], outline)

    def said(self) -> str:
        return _("changed the piece {name}").format(name=self.cleaned_data["piece"])


class RemovePiece(EditForm):
    """A piece taken away with what lies on it."""

    what, section, submit = "remove-piece", "fabric", gettext_lazy("Take it away")
    piece = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return pieces.remove_piece(document, self.cleaned_data["piece"])

    def said(self) -> str:
        return _("took the piece {name} away").format(name=self.cleaned_data["piece"])


class _TwoPieces(EditForm):
    section = "fabric"
    first = forms.ChoiceField(label=gettext_lazy("Piece"))
    second = forms.ChoiceField(label=gettext_lazy("and piece"))

    def prepare(self) -> None:
        names = [piece.name for piece in self.document.project.pieces]
        for field in ("first", "second"):
            self.fields[field].choices = choices_of(names)  # type: ignore[attr-defined]
        if len(names) > 1:
            self.fields["second"].initial = names[1]


class SetFacing(_TwoPieces):
    """Two pieces, or one folded, that lie inside to inside when the object is closed."""

    what = "set-facing"
    facing = forms.TypedChoiceField(
        label=gettext_lazy("When it is closed"),
        choices=[("yes", gettext_lazy("they lie inside to inside")), ("no", gettext_lazy("they do not touch"))],
        coerce=lambda word: word == "yes",
    )

    def change(self, document: Document) -> Document:
        data = self.cleaned_data
        return pieces.set_facing(document, data["first"], data["second"], data["facing"])

    def said(self) -> str:
        return _("set which pieces face each other")


class AddSeamCrossing(_TwoPieces):
    """Thread that goes over a seam from one piece to another."""

    what, submit = "seam-crossing", gettext_lazy("Add the crossing")
    connection = forms.ChoiceField(label=gettext_lazy("For the connection"), required=False)
    field_order = ("version", "first", "second", "connection")

    def prepare(self) -> None:
        super().prepare()
        names = [one.name for one in self.document.project.connections]
        self.fields["connection"].choices = [("", _("none yet")), *choices_of(names)]  # type: ignore[attr-defined]

    def change(self, document: Document) -> Document:
        data = self.cleaned_data
        return pieces.add_seam_crossing(document, data["first"], data["second"], data["connection"])

    def said(self) -> str:
        data = self.cleaned_data
        return _("added a seam crossing from {first} to {second}").format(first=data["first"], second=data["second"])
