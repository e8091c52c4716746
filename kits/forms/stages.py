"""Edits of stages and of criteria for marks."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

__all__ = ["CriterionForm", "StageForm"]


class StageForm(forms.Form):
    """One stage and what is to be done with it; `number` counts from 0."""

    version = forms.IntegerField(min_value=0, widget=forms.HiddenInput)
    number = forms.IntegerField(min_value=0, required=False, widget=forms.HiddenInput)
    name = forms.CharField(
        label=_("Name"), max_length=200, required=False, widget=forms.TextInput(attrs={"class": "form-control"})
    )
    look = forms.BooleanField(
        label=_("ends with a look"), required=False, widget=forms.CheckboxInput(attrs={"class": "form-check-input"})
    )

    @property
    def action(self) -> str:
        """The button that was pressed."""
        return str(self.data.get("action", ""))

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        if self.action == "save" and not data.get("name"):
            self.add_error("name", _("A stage needs a name."))
        if data.get("number") is None and self.action not in ("reset", "add-criterion"):
            self.add_error(None, _("Say which row it is about."))
        return data


class CriterionForm(StageForm):
    """What a mark is given for, and at which stage."""

    name = None  # type: ignore[assignment]
    look = None  # type: ignore[assignment]
    stage = forms.ChoiceField(label=_("Stage"), widget=forms.Select(attrs={"class": "form-select"}))
    text = forms.CharField(
        label=_("What is marked"), max_length=200, widget=forms.TextInput(attrs={"class": "form-control"})
    )

    def __init__(self, choices: list[tuple[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stage"].choices = choices  # type: ignore[attr-defined]
        if self.is_bound and self.action == "remove-criterion":
            for field in ("stage", "text"):
                self.fields[field].required = False
