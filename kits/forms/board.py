"""What a teacher does to ticked kits on the class board."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import Kit, Workshop
from kits.progress import StageRow

__all__ = ["BulkForm"]


class BulkForm(forms.Form):
    """The ticked kits, what to do, and for a tick, which stage."""

    ACTIONS = [
        ("accept", _("Accept layouts without a stop")),
        ("give-example", _("Give the example layout")),
        ("tick-stage", _("Tick a stage")),
    ]

    kits = forms.ModelMultipleChoiceField(
        Kit.objects.none(), error_messages={"required": _("Tick at least one kit first.")}
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
        if cleaned.get("action") == "tick-stage" and not cleaned.get("stage"):
            self.add_error("stage", _("Choose the stage to tick."))
        return cleaned
