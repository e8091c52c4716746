"""What the edits of a draft share: the version that the page saw, and one pure change."""

from __future__ import annotations

from abc import ABCMeta, abstractmethod
from typing import Any, ClassVar

from django import forms
from django.forms.forms import DeclarativeFieldsMetaclass
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from projects.circuit.document import Document
from projects.models import Project
from projects.said import say_name

__all__ = ["EditForm", "choices_of", "dress", "type_choices"]

Text = str | Promise


class _AbstractFormMeta(DeclarativeFieldsMetaclass, ABCMeta):
    """Forms have a metaclass of their own, so an abstract form needs both."""


class EditForm(forms.Form, metaclass=_AbstractFormMeta):
    """One edit. `what` names it in the address, `section` the page that it stands on, `look` a class for its style.

    A subclass gives fields, `change` (a pure function of `projects.circuit.editing`) and `said`. Its field names
    that are hidden say which row it is about; `key` makes the ids of several of one kind differ.
    """

    what: ClassVar[str]
    section: ClassVar[str]
    submit: ClassVar[Text] = _("Save")
    look: ClassVar[str] = ""
    version = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def __init__(self, project: Project, document: Document, *args: Any, key: str = "", **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "-".join(part for part in (self.what, key, "%s") if part))
        super().__init__(*args, **kwargs)
        self.project = project
        self.document = document
        self.prepare()
        for field in self.fields.values():
            dress(field.widget)

    def prepare(self) -> None:
        """Choices that depend on the document."""

    @property
    def action(self) -> str:
        """Where it is sent."""
        return reverse("projects:edit", args=[self.project.pk, self.what])

    @abstractmethod
    def change(self, document: Document) -> Document:
        """The document after the edit; may raise Refusal."""

    @abstractmethod
    def said(self) -> str:
        """What the edit did, for the list of edits."""


def dress(widget: forms.Widget) -> None:
    """Give a widget the site's look."""
    if isinstance(widget, forms.CheckboxInput | forms.CheckboxSelectMultiple | forms.RadioSelect):
        widget.attrs.setdefault("class", "form-check-input")
    elif isinstance(widget, forms.Select):
        widget.attrs.setdefault("class", "form-select")
    elif not isinstance(widget, forms.HiddenInput):
        widget.attrs.setdefault("class", "form-control")
    if isinstance(widget, forms.NumberInput):
        widget.attrs.setdefault("step", "any")


def choices_of(names: Any) -> list[tuple[str, str]]:
    """Names as choices that show themselves."""
    return [(name, name) for name in names]


def type_choices(types: dict[str, Any]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Part types in groups by what they do."""
    groups: dict[str, list[tuple[str, str]]] = {str(words): [] for words in _KINDS.values()}
    for name, part_type in types.items():
        groups[str(_KINDS[part_type.model.kind])].append((name, say_name(part_type.name)))
    return [(words, found) for words, found in groups.items() if found]


_KINDS: dict[str, Text] = {
    "cell": _("Cell holders and packs"),
    "controller": _("Controllers"),
    "led": _("Lights"),
    "switch": _("Switches"),
    "sensor": _("Sensors"),
    "load": _("Sound, motion and lights that run by themselves"),
    "resistor": _("Resistors"),
    "pad": _("Touch pads"),
    "link": _("Seam crossings"),
}
