"""What a teacher does to ticked kits on the class board."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import Kit, Workshop
from kits.progress import StageRow

__all__ = ["BulkForm"]


class BulkForm(forms.Form):
    """The ticked kits or those of a whole table, what to do, and for a tick, which stage."""

    ACTIONS = [
        ("accept", _("Accept layouts without a stop")),
        ("give-example", _("Give the example layout")),
        ("tick-stage", _("Tick a stage")),
        ("set-table", _("Put at a table")),
        ("short-codes", _("Short codes")),
    ]

    kits = forms.ModelMultipleChoiceField(Kit.objects.none(), required=False)
    of_table = forms.CharField(max_length=20, required=False)
    table = forms.CharField(
        max_length=20,
        required=False,
        error_messages={"max_length": _("The name of a table has at most 20 signs.")},
    )
    action = forms.ChoiceField(choices=ACTIONS)
    stage = forms.ChoiceField(required=False)

    def __init__(self, workshop: Workshop, stages: tuple[StageRow, ...], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kits, stage = self.fields["kits"], self.fields["stage"]
        assert isinstance(kits, forms.ModelMultipleChoiceField)
        assert isinstance(stage, forms.ChoiceField)
        kits.queryset = workshop.kits.defer("document", "layout").order_by("number")
        stage.choices = [("", _("which stage?")), *((row.name, row.title) for row in stages)]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not cleaned.get("kits") and cleaned.get("of_table"):
            kits = self.fields["kits"]
            assert isinstance(kits, forms.ModelMultipleChoiceField)
            cleaned["kits"] = kits.queryset.filter(table=cleaned["of_table"])  # type: ignore[union-attr]
        if "kits" not in self.errors and not cleaned.get("kits"):
            self.add_error("kits", _("Tick at least one kit first."))
        if cleaned.get("action") == "tick-stage" and not cleaned.get("stage"):
            self.add_error("stage", _("Choose the stage to tick."))
        return cleaned
