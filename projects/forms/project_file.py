"""Reading a project file into the site."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from projects.circuit.document import Document
from projects.circuit.project_file import Refusal, read
from projects.said import say

__all__ = ["KeptFileForm", "ProjectFileForm", "ReplacingFileForm"]

MOST_BYTES = 2 * 1024 * 1024


class ProjectFileForm(forms.Form):
    """A project file; the refusal names the place in it."""

    file = forms.FileField(
        label=_("Project file"),
        help_text=_("A file that was exported here or by a colleague, at most 2 MiB. Its name ends in .json."),
        widget=forms.ClearableFileInput(attrs={"accept": ".json,application/json"}),
    )

    def __init__(self, *args: Any, submit: str = "", action: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_action = action
        self.helper.add_input(Submit("", submit or _("Import")))

    def clean_file(self) -> Document:
        """The document that the file holds."""
        upload = self.cleaned_data["file"]
        if (upload.size or 0) > MOST_BYTES:
            raise forms.ValidationError(_("The file is larger than 2 MiB. A project file never is; check which it is."))
        return _read(upload.read())


class ReplacingFileForm(ProjectFileForm):
    """A project file to take the place of a draft, and the version of the draft that the page showed."""

    version = forms.IntegerField(min_value=0, widget=forms.HiddenInput)


class KeptFileForm(forms.Form):
    """A project file that a page holds while a person looks at what it brings."""

    document = forms.CharField(widget=forms.Textarea(attrs={"hidden": True}), max_length=MOST_BYTES, strip=False)

    def clean_document(self) -> Document:
        """The document that the text holds."""
        return _read(self.cleaned_data["document"].encode())


def _read(data: bytes) -> Document:
    try:
        return read(data)
    except Refusal as refusal:
        message = _("Not imported. At %(place)s: %(wrong)s. Allowed: %(allowed)s. Mend the file and choose it again.")
        params = {"place": refusal.place, "wrong": say(refusal.wrong), "allowed": say(refusal.allowed)}
        raise forms.ValidationError(message, params=params) from refusal
