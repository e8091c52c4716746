"""What to print: sheets and kits of a class, labels, and what the school wants said on paper."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from kits.models import Kit, SchoolNotes, Workshop
from kits.sheets.content.labels import GRIDS, LabelGrid
from kits.sheets.for_kit import KIT_SHEETS

__all__ = ["LabelForm", "PackForm", "PositionForm", "SchoolNotesForm", "grid_of"]

PAPERS = [("A4", _("A4, 210 × 297 mm")), ("Letter", _("US Letter, 8½ × 11 in"))]
UNITS = [("cm", _("centimetres")), ("inch", _("inches"))]
SHEETS = [*((name, sheet.title) for name, sheet in KIT_SHEETS.items()), ("substitute-page", _("Substitute page (one)"))]
_PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
_OWN = "own"


class PackForm(forms.Form):
    """The sheets of a class pack, for which kits, on which paper."""

    sheets = forms.MultipleChoiceField(
        label=_("Sheets"),
        choices=SHEETS,
        widget=forms.CheckboxSelectMultiple(attrs={"class": "form-check-input"}),
        error_messages={"required": _("Tick at least one sheet.")},
    )
    paper = forms.ChoiceField(label=_("Paper"), choices=PAPERS)
    units = forms.ChoiceField(label=_("Lengths in"), choices=UNITS)
    kits = forms.ModelMultipleChoiceField(Kit.objects.none(), error_messages={"required": _("Tick at least one kit.")})

    def __init__(self, workshop: Workshop, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["kits"]
        assert isinstance(field, forms.ModelMultipleChoiceField)
        field.queryset = workshop.kits.defer("document", "layout").prefetch_related("learners").order_by("number")
        self.choices_of_kits = list(field.queryset)
        self.ticked = self._ticked()

    def _ticked(self) -> set[str]:
        """Ids of the kits that are ticked: those that came back, or all."""
        return set(self.data.getlist("kits")) if self.is_bound else {str(kit.pk) for kit in self.choices_of_kits}  # type: ignore[attr-defined]


class LabelForm(forms.Form):
    """A sheet of labels, by one of the common sizes or by one's own, and where the first label goes."""

    grid = forms.ChoiceField(label=_("Sheet of labels"), required=False)
    paper = forms.ChoiceField(label=_("Paper"), choices=PAPERS, required=False)
    columns = forms.IntegerField(label=_("Columns"), min_value=1, max_value=10, required=False)
    rows = forms.IntegerField(label=_("Rows"), min_value=1, max_value=30, required=False)
    width_mm = forms.FloatField(label=_("Width, mm"), min_value=35, max_value=216, required=False)
    height_mm = forms.FloatField(label=_("Height, mm"), min_value=18, max_value=297, required=False)
    left_mm = forms.FloatField(label=_("Left margin, mm"), min_value=0, max_value=100, required=False)
    top_mm = forms.FloatField(label=_("Top margin, mm"), min_value=0, max_value=100, required=False)
    gap_x_mm = forms.FloatField(label=_("Gap between columns, mm"), min_value=0, max_value=50, required=False)
    gap_y_mm = forms.FloatField(label=_("Gap between rows, mm"), min_value=0, max_value=50, required=False)
    start = forms.IntegerField(
        label=_("First label goes to place"),
        min_value=1,
        help_text=_("1 for a new sheet. Count row by row; on a part-used sheet, give the first free place."),
    )

    SIZES = ("columns", "rows", "width_mm", "height_mm", "left_mm", "top_mm", "gap_x_mm", "gap_y_mm")

    def __init__(self, kept: dict[str, Any], *args: Any, **kwargs: Any) -> None:
        paper, grid = grid_of(kept)
        first = {"grid": kept.get("grid", "21"), "paper": paper, "start": 1, **asdict(grid)}
        super().__init__(*args, **{"initial": first, **kwargs})
        choice = self.fields["grid"]
        assert isinstance(choice, forms.ChoiceField)
        choice.choices = [*((name, _said(*GRIDS[name])) for name in GRIDS), (_OWN, _("My own sizes, below"))]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        kept = {"grid": cleaned["grid"] or "21"}
        if kept["grid"] == _OWN:
            missing = [name for name in self.SIZES if cleaned.get(name) is None]
            for name in missing:
                self.add_error(name, _("Give this size."))
            if missing:
                return cleaned
            kept |= {"paper": cleaned["paper"] or "A4", **{name: cleaned[name] for name in self.SIZES}}
        self._check(kept, cleaned["start"])
        return {**cleaned, "kept": kept}

    def _check(self, kept: dict[str, Any], start: int) -> None:
        paper, grid = grid_of(kept)
        wide, high = _PAPER_MM[paper]
        if grid.size_mm[0] > wide + 0.5 or grid.size_mm[1] > high + 0.5:
            text = gettext("These labels take {width} × {height} mm, which is more than the paper has. Measure again.")
            self.add_error(None, text.format(width=f"{grid.size_mm[0]:.1f}", height=f"{grid.size_mm[1]:.1f}"))
        if start > grid.count:
            text = gettext("This sheet has only {count} places.")
            self.add_error("start", text.format(count=grid.count))


class PositionForm(forms.Form):
    """Where on the sheet one label goes."""

    position = forms.IntegerField(min_value=1)


class SchoolNotesForm(forms.ModelForm[SchoolNotes]):
    """What stands on every sheet of this teacher."""

    class Meta:
        model = SchoolNotes
        fields = ("poison_line", "rules", "data_kept")
        widgets = {"rules": forms.Textarea(attrs={"rows": 4})}
        help_texts = {
            "poison_line": _("Name and number of your local poison help line. Stands on step sheets, cards and pages."),
            "rules": _("What else your school wants said, such as where needles are kept, or whom to call."),
            "data_kept": _(
                "For parents: how long you keep names and layouts, such as “to the end of the school year”."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Save")))


def grid_of(kept: dict[str, Any]) -> tuple[str, LabelGrid]:
    """Paper and sizes of the sheet of labels that was kept; the first common one where none was."""
    name = kept.get("grid", "21")
    if name in GRIDS:
        return GRIDS[name]
    try:
        sizes = {size: float(kept[size]) for size in LabelForm.SIZES}
        columns, rows = int(sizes.pop("columns")), int(sizes.pop("rows"))
        return str(kept["paper"]), LabelGrid(columns, rows, **sizes)
    except (KeyError, TypeError, ValueError):
        return GRIDS["21"]


def _said(paper: str, grid: LabelGrid) -> str:
    text = gettext("{paper}: {columns} × {rows} labels of {width} × {height} mm")
    return text.format(
        paper=paper, columns=grid.columns, rows=grid.rows, width=f"{grid.width_mm:g}", height=f"{grid.height_mm:g}"
    )
