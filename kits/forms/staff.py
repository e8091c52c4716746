"""Asking others to help or to cover, and taking such an invitation up."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.forms.set_up import date_input
from kits.models import Invitation

__all__ = ["InvitationForm", "InviteForm"]


class InviteForm(forms.Form):
    """As what somebody is asked, and for which day."""

    role = forms.ChoiceField(label=_("As"), choices=Invitation.Role.choices)
    day = forms.DateField(label=_("Day"), required=False, widget=date_input(), help_text=_("Only for a cover teacher."))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Make a code")))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("role") == Invitation.Role.COVER and "day" not in self.errors:
            if data.get("day") is None:
                self.add_error("day", _("Say which day is to be covered."))
            elif data["day"] < timezone.localdate():
                self.add_error("day", _("This day is over. Choose today or a later one."))
        return data


class InvitationForm(forms.Form):
    """The code of an invitation."""

    code = forms.CharField(
        label=_("Code of the invitation"),
        max_length=40,
        help_text=_("Twelve letters and numbers, from the teacher of the class."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Take it up")))
