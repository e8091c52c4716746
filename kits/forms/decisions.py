"""Reasons that are kept: sending back, letting pass; and what a learner asks."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

__all__ = ["FindingForm", "HelpForm", "LetPassForm", "ReasonForm"]


class ReasonForm(forms.Form):
    """Why something is sent back; the learner reads it."""

    reason = forms.CharField(
        label=_("What is to be put right?"),
        max_length=300,
        error_messages={"required": _("Write what is to be put right, so that the learner knows.")},
        widget=forms.Textarea(attrs={"rows": 2, "class": "form-control"}),
    )


class FindingForm(forms.Form):
    """A finding, by its key."""

    finding = forms.CharField(max_length=10_000, widget=forms.HiddenInput)


class LetPassForm(FindingForm):
    """A finding, and why it does not hold the kit up."""

    reason = forms.CharField(
        label=_("Why may it pass?"),
        max_length=300,
        error_messages={"required": _("Write why it may pass. The reason is kept with the kit.")},
        widget=forms.TextInput(attrs={"class": "form-control"}),
    )


class HelpForm(forms.Form):
    """What a learner needs help with; if they write nothing, the step that they are at, where the page knows it."""

    about = forms.CharField(label=_("What is it about?"), max_length=120, required=False)
    at = forms.CharField(max_length=120, required=False, widget=forms.HiddenInput)
