"""Quick start, the details of a class, and a class like last term's."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.forms.workshop import MAX_KITS, RevisionField, newest_published
from kits.models import Workshop
from projects.models import Revision

__all__ = ["CopyForm", "DetailsForm", "QuickStartForm", "date_input", "time_input"]


def date_input() -> forms.DateInput:
    """A day, as browsers' own calendars want it."""
    return forms.DateInput(attrs={"type": "date", "class": "form-control"}, format="%Y-%m-%d")


def time_input() -> forms.TimeInput:
    """A time of day, as browsers' own clocks want it."""
    return forms.TimeInput(attrs={"type": "time", "class": "form-control"}, format="%H:%M")


class QuickStartForm(forms.Form):
    """What to make, and how many."""

    revision = RevisionField(label=_("Project"), queryset=Revision.objects.none(), empty_label=None)
    kits = forms.IntegerField(
        label=_("Number of kits"),
        min_value=1,
        max_value=MAX_KITS,
        initial=12,
        help_text=_("One for each object. A pair shares one."),
    )

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        revision = self.fields["revision"]
        assert isinstance(revision, forms.ModelChoiceField)
        revision.queryset = newest_published(user)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Make the kits, go to print")))


class DetailsForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """Title and place, and the minutes that are not for sewing."""

    class Meta:
        model = Workshop
        fields = ("title", "place", "set_out_minutes", "count_back_minutes", "layout_minutes")
        help_texts = {
            "set_out_minutes": _("At the beginning of each session."),
            "count_back_minutes": _("At the end of each session."),
            "layout_minutes": _("Before the first stage; nothing where the layout is given."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Save")))


class CopyForm(forms.Form):
    """A new class like another one."""

    title = forms.CharField(label=_("Name of the new class"), max_length=120)
    date = forms.DateField(label=_("First session"), widget=date_input())

    def __init__(self, source: Workshop, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["title"].initial = source.title
        self.fields["date"].initial = timezone.localdate() + timedelta(days=7)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Set the new class up")))
