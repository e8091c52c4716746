"""Sharing a project."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

__all__ = ["ShareForm"]


class ShareForm(forms.Form):
    """A colleague by exact user name, and what they may do."""

    name = forms.CharField(
        label=_("User name of a colleague on this site"),
        max_length=150,
        help_text=_("Exactly as they sign in. This page does not tell whether there is such a user."),
        widget=forms.TextInput(attrs={"class": "form-control", "autocomplete": "off"}),
    )
    may_edit = forms.TypedChoiceField(
        label=_("They may"),
        choices=[("no", _("look, copy and use it in a class")), ("yes", _("also change and publish it"))],
        coerce=lambda word: word == "yes",
        widget=forms.Select(attrs={"class": "form-select"}),
    )
