"""Signing in: a teacher or helper by name and password, a learner by the kit's code."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _

from kits.models import Kit, Learner

__all__ = ["CodeForm", "SignInForm", "WhoForm"]


class SignInForm(AuthenticationForm):
    """Name and password of a teacher or helper; the answer to a wrong pair never says which was wrong."""

    error_messages = {
        "invalid_login": _("Name and password do not go together. Check both; capital letters count."),
        "inactive": _("Name and password do not go together. Check both; capital letters count."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Sign in")))


class CodeForm(forms.Form):
    """The code on the kit's label, as a child types it."""

    code = forms.CharField(
        label=_("Code on your kit's label"),
        max_length=40,
        help_text=_("Twelve letters and numbers, or six from your teacher's board. Big or small does not matter."),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false", "autofocus": True}
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_action = "kits:join"
        self.helper.add_input(Submit("", _("Open my kit")))


class WhoForm(forms.Form):
    """Which of those who share a kit holds the tablet now."""

    learner = forms.ModelChoiceField(Learner.objects.none())

    def __init__(self, kit: Kit, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        learner = self.fields["learner"]
        assert isinstance(learner, forms.ModelChoiceField)
        learner.queryset = kit.learners.all()
