"""A roster as a list: pasted, or as a file; and one learner."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from kits.models import Learner
from kits.roster_table import ENCODINGS, RosterTable, RosterWords, decoded, read_table

__all__ = ["LearnerForm", "RosterListForm", "SureForm", "words_here"]

MOST_BYTES = 200_000

_NAMES_OF_ENCODINGS = {
    "utf-8": _("Unicode (UTF-8)"),
    "utf-16": _("Unicode (UTF-16)"),
    "cp1252": _("Western European (Windows)"),
    "cp1250": _("Central European (Windows)"),
    "cp1251": _("Cyrillic (Windows)"),
    "cp1254": _("Turkish (Windows)"),
    "iso8859_15": _("Western European (Latin 9)"),
    "mac_roman": _("Western European (older Mac)"),
}


def words_here() -> RosterWords:
    """English words and those of the reader's language, such as stand in the files that the site itself writes."""
    heads = {
        "name": gettext("name"),
        "kit": gettext("kit"),
        "left": gettext("left-handed"),
        "project": gettext("project"),
    }
    return RosterWords().with_also(heads, gettext("yes"), gettext("no"))


class RosterListForm(forms.Form):
    """What was pasted or uploaded; a file, once read, stands in the text field, so that nothing is lost."""

    text = forms.CharField(
        label=_("Paste the list here"),
        required=False,
        max_length=MOST_BYTES,
        strip=False,
        widget=forms.Textarea(
            attrs={"rows": 9, "spellcheck": "false", "autocomplete": "off", "class": "form-control code-text"}
        ),
    )
    file = forms.FileField(
        label=_("or choose a file"),
        required=False,
        widget=forms.ClearableFileInput(attrs={"class": "form-control", "accept": ".csv,.tsv,.txt,text/*"}),
    )
    encoding = forms.ChoiceField(
        label=_("Letters of the file"),
        required=False,
        choices=[("", _("find out")), *((one, _NAMES_OF_ENCODINGS[one]) for one in ENCODINGS)],
        widget=forms.Select(attrs={"class": "form-select"}),
        help_text=_("Choose another if letters with accents look wrong below; then choose the file again."),
    )
    first_word = forms.BooleanField(
        label=_("Keep only the first word of each name"),
        required=False,
        widget=forms.CheckboxInput(attrs={"class": "form-check-input"}),
    )

    def clean_file(self) -> UploadedFile[bytes] | None:
        file = self.cleaned_data["file"]
        if file is not None and file.size > MOST_BYTES:
            raise forms.ValidationError(_("This file is too large for a list of names. Save only the names, as CSV."))
        return file  # type: ignore[no-any-return]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("file") is not None:
            content = data["file"].read()
            if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF")):
                self.add_error("file", _("This is not a text file. Save the list as CSV, or paste it."))
            else:
                data["text"] = decoded(content, data.get("encoding", ""))
        return data

    def table(self) -> RosterTable:
        """The rows; call it on a valid form."""
        data, words = self.cleaned_data, words_here()
        return read_table(data["text"], first_word=data["first_word"], words=words)

    def with_text(self) -> RosterListForm:
        """The same form with what the file held in the text field."""
        return RosterListForm(initial={**self.cleaned_data, "file": None})


class LearnerForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """What a learner is called, and with which hand they sew."""

    class Meta:
        model = Learner
        fields = ("display_name", "left_handed")
        help_texts = {"display_name": _("A first name or a nickname is enough.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("", _("Save")))

    def clean_display_name(self) -> str:
        """One name a class, whatever its capitals."""
        name = " ".join(self.cleaned_data["display_name"].split())
        others = Learner.objects.filter(workshop=self.instance.workshop, display_name__iexact=name)
        if others.exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(_("Somebody in this class is called that already. Add a letter."))
        return name


class SureForm(forms.Form):
    """A tick before something that cannot be taken back."""

    sure = forms.BooleanField(
        label=_("Yes, delete it for good"),
        error_messages={"required": _("Tick this to say that you mean it.")},
        widget=forms.CheckboxInput(attrs={"class": "form-check-input"}),
    )
