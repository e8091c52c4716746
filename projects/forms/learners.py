"""Edits of what learners may change."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.circuit.document import Document
from projects.circuit.editing import learners
from projects.circuit.editing.parts import known_types
from projects.circuit.part_types import PartType
from projects.forms.edit import EditForm

__all__ = ["LearnerMay", "Swaps"]

_MAY = (
    ("nothing", gettext_lazy("Nothing: everyone sews the example")),
    ("layout", gettext_lazy("Where the parts lie, and the lines")),
    ("choose", gettext_lazy("That, and parts from the lists below")),
    ("all", gettext_lazy("The whole circuit: parts, connections, pins")),
)


class LearnerMay(EditForm):
    """What learners may change in their own kit."""

    what, section = "learner-may", "learners"
    may = forms.ChoiceField(label=gettext_lazy("Learners may change"), choices=_MAY, widget=forms.RadioSelect)

    def change(self, document: Document) -> Document:
        return learners.set_learner_may(document, self.cleaned_data["may"])

    def said(self) -> str:
        return _("set what learners may change")


class Swaps(EditForm):
    """The part types that may stand in for one part."""

    what, section = "swaps", "learners"
    part = forms.CharField(max_length=64, widget=forms.HiddenInput)
    types = forms.MultipleChoiceField(
        label=gettext_lazy("A learner may take instead"), required=False, widget=forms.CheckboxSelectMultiple
    )

    def prepare(self) -> None:
        project = self.document.project
        known = known_types(project)
        ref = str(self.data.get("part") or self.initial.get("part") or "")
        own = next((known[part.type] for part in project.parts if part.ref == ref), None)
        if own is None:
            return
        names = {terminal.name for terminal in own.terminals}
        # Of its kind, with the same terminals: anything else would leave a connection without an end.
        fitting = [
            (name, one.name)
            for name, one in known.items()
            if name != own.type and {terminal.name for terminal in one.terminals} == names and _alike(one, own)
        ]
        self.fields["types"].choices = fitting  # type: ignore[attr-defined]

    def change(self, document: Document) -> Document:
        return learners.set_swaps(document, self.cleaned_data["part"], self.cleaned_data["types"])

    def said(self) -> str:
        return _("set what may stand in for {ref}").format(ref=self.cleaned_data["part"])


def _alike(one: PartType, other: PartType) -> bool:
    """Of one kind; a light that changes by itself counts as a load, and may stand in for a light."""
    kinds = {one.model.kind, other.model.kind}
    return len(kinds) == 1 or kinds == {"led", "load"}
