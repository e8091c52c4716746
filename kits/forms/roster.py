"""The roster: names by paste, and who makes which kit."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import Kit, Learner, Workshop

__all__ = ["NamesForm", "WhoMakesWhatForm"]

MAX_NAMES = 60
NAME_LENGTH = 40


class NamesForm(forms.Form):
    """Names, one a line."""

    names = forms.CharField(
        label=_("Names, one a line"),
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "autocomplete": "off"}),
        help_text=_("A first name or a nickname is enough. Do not write surnames, addresses or notes."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("add-names", _("Add names")))

    def clean_names(self) -> list[str]:
        """The names, trimmed, empty lines left out; errors name the line."""
        lines = [" ".join(line.split()) for line in self.cleaned_data["names"].splitlines()]
        names = [line for line in lines if line]
        for number, line in enumerate(lines, start=1):
            if len(line) > NAME_LENGTH:
                message = _("Line %(line)s is longer than %(length)s signs. Shorten it to a first name.")
                raise forms.ValidationError(message, params={"line": number, "length": NAME_LENGTH})
            if not line.isprintable():
                message = _("Line %(line)s holds a sign that cannot be printed. Type it anew.")
                raise forms.ValidationError(message, params={"line": number})
        if len(names) > MAX_NAMES:
            message = _("These are %(count)s names; at most %(most)s can be added at once.")
            raise forms.ValidationError(message, params={"count": len(names), "most": MAX_NAMES})
        return names


class WhoMakesWhatForm(forms.Form):
    """A kit for each learner: the same kit for two makes them a pair."""

    def __init__(self, workshop: Workshop, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.learners = {
            str(learner.pk): learner for learner in workshop.learners.exclude(display_name="").prefetch_related("kits")
        }
        kits = workshop.kits.defer("document", "layout").order_by("number")
        self.kits: dict[str, Kit] = {str(kit.pk): kit for kit in kits}
        choices = [("", _("no kit yet")), *((pk, str(kit.number)) for pk, kit in self.kits.items())]
        for pk, learner in self.learners.items():
            kit = next(iter(learner.kits.all()), None)
            self.fields[f"kit-{pk}"] = forms.ChoiceField(
                label=_("Kit of {name}").format(name=learner),
                choices=choices,
                required=False,
                initial=str(kit.pk) if kit else "",
                widget=forms.Select(attrs={"class": "form-select"}),
            )
            self.fields[f"left-{pk}"] = forms.BooleanField(
                label=_("{name} is left-handed").format(name=learner),
                required=False,
                initial=learner.left_handed,
                widget=forms.CheckboxInput(attrs={"class": "form-check-input"}),
            )

    def rows(self) -> list[tuple[Learner, forms.BoundField, forms.BoundField]]:
        """Learner, kit field, left-handed field; for the table."""
        return [(learner, self[f"kit-{pk}"], self[f"left-{pk}"]) for pk, learner in self.learners.items()]

    def kit_of(self) -> dict[Learner, Kit | None]:
        """The kit chosen for each learner; call it on a valid form."""
        return {learner: self.kits.get(self.cleaned_data[f"kit-{pk}"]) for pk, learner in self.learners.items()}

    def left_handed(self) -> set[int]:
        """Ids of left-handed learners; call it on a valid form."""
        return {learner.pk for pk, learner in self.learners.items() if self.cleaned_data[f"left-{pk}"]}
