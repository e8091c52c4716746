"""Marks of those who make one kit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import Mark
from kits.plan.criteria import Criterion
from kits.services.marks import Marked
from projects.said import say

__all__ = ["MarksForm"]


class MarksForm(forms.Form):
    """One learner of a kit (or the kit): a level a criterion, and a comment."""

    def __init__(self, marked: Marked, criteria: Sequence[Criterion], *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("prefix", f"m{marked.learner.pk if marked.learner else 0}")
        super().__init__(*args, **kwargs)
        self.marked, self.criteria = marked, criteria
        for number, (criterion, level) in enumerate(zip(criteria, marked.levels, strict=True)):
            self.fields[f"level-{number}"] = forms.ChoiceField(
                label=say(criterion.words),
                choices=[("", _("no mark")), *Mark.Level.choices],
                required=False,
                initial="" if level is None else int(level),
                widget=forms.RadioSelect(attrs={"class": "form-check-input"}),
            )
        self.fields["comment"] = forms.CharField(
            label=_("Comment"),
            max_length=1000,
            required=False,
            initial=marked.comment,
            widget=forms.Textarea(attrs={"rows": 3, "class": "form-control"}),
        )

    def rows(self) -> list[tuple[Criterion, forms.BoundField]]:
        return [(criterion, self[f"level-{number}"]) for number, criterion in enumerate(self.criteria)]

    def levels(self) -> dict[Criterion, int | None]:
        """The level a criterion; call it on a valid form."""
        chosen = (self.cleaned_data[f"level-{number}"] for number in range(len(self.criteria)))
        return {
            criterion: int(level) if level else None for criterion, level in zip(self.criteria, chosen, strict=True)
        }
