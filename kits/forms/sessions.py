"""The sessions of a class: when, how long, how far, and what was reached."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from kits.forms.set_up import date_input, time_input
from kits.models import Session
from kits.services.session_plan import LevelNow
from projects.said import say

__all__ = ["NewSessionForm", "SessionForm"]


class NewSessionForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """One more session."""

    class Meta:
        model = Session
        fields = ("date", "starts", "minutes")
        widgets = {"date": date_input(), "starts": time_input()}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Add this session"), css_class="btn-secondary"))


class SessionForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """A session with a goal for each project, and what the teacher writes afterwards."""

    class Meta:
        model = Session
        fields = ("date", "starts", "minutes", "note")
        widgets = {
            "date": date_input(),
            "starts": time_input(),
            "minutes": forms.NumberInput(attrs={"class": "form-control"}),
            "note": forms.Textarea(attrs={"rows": 4, "class": "form-control"}),
        }

    def __init__(self, levels: Sequence[LevelNow], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.levels = levels
        for level in levels:
            choices = [("", _("as the plan has it")), *((one.name, say(one.title)) for one in level.stages)]
            self.fields[f"goal-{level.revision.pk}"] = forms.ChoiceField(
                label=_("{title}: last stage of this session").format(title=level.revision.project.title),
                choices=choices,
                required=False,
                initial=level.goal.name if level.chosen and level.goal else "",
                widget=forms.Select(attrs={"class": "form-select"}),
            )

    def goals(self) -> dict[int, str]:
        """The chosen stage by the revision's id; call it on a valid form."""
        return {level.revision.pk: self.cleaned_data[f"goal-{level.revision.pk}"] for level in self.levels}

    def goal_fields(self) -> list[forms.BoundField]:
        return [self[f"goal-{level.revision.pk}"] for level in self.levels]
