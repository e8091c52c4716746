"""Setting a workshop up."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.contrib.auth.models import User
from django.db.models import OuterRef, Subquery
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from projects.models import Project, Revision

__all__ = ["MAX_KITS", "KitsForm", "WorkshopForm", "newest_published"]

MAX_KITS = 60


def newest_published(user: User) -> Any:
    """The newest published revision of each project of this user's own or shared with them."""
    newest = Revision.objects.published().filter(project=OuterRef("project")).order_by("-number").values("pk")[:1]
    mine = Revision.objects.filter(project__in=Project.objects.seen_by(user), pk=Subquery(newest))
    return mine.select_related("project").defer("document").order_by("project__title", "pk")


class RevisionField(forms.ModelChoiceField):  # type: ignore[type-arg]  # not generic at run time
    """A revision, shown by its project's title."""

    def label_from_instance(self, obj: Any) -> str:
        return str(_("{title}, revision {number}")).format(title=obj.project.title, number=obj.number)


class WorkshopForm(forms.Form):
    """A class: what it makes, how many, when."""

    title = forms.CharField(label=_("Name of the class"), max_length=120, help_text=_("Such as “Friday club, autumn”."))
    place = forms.CharField(label=_("Place"), max_length=120, required=False)
    revision = RevisionField(label=_("Project"), queryset=Revision.objects.none(), empty_label=None)
    kits = forms.IntegerField(
        label=_("Number of kits"),
        min_value=1,
        max_value=MAX_KITS,
        initial=12,
        help_text=_("One for each object. Names can wait; you can add more kits later."),
    )
    date = forms.DateField(label=_("First session"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    minutes = forms.IntegerField(label=_("Minutes of a session"), min_value=10, max_value=600, initial=90)

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        revision = self.fields["revision"]
        assert isinstance(revision, forms.ModelChoiceField)
        revision.queryset = newest_published(user)
        self.fields["date"].initial = timezone.localdate
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Set the class up")))


class KitsForm(forms.Form):
    """More kits of one project for a class that is there."""

    revision = RevisionField(label=_("Project"), queryset=Revision.objects.none(), empty_label=None)
    kits = forms.IntegerField(label=_("How many more"), min_value=1, max_value=MAX_KITS, initial=1)

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        revision = self.fields["revision"]
        assert isinstance(revision, forms.ModelChoiceField)
        revision.queryset = newest_published(user)
        self.helper = FormHelper()
        self.helper.add_input(Submit("add-kits", _("Add kits"), css_class="btn-secondary"))
