"""Edits of the circuit: parts, connections, pins."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.circuit.document import Document
from projects.circuit.editing import connections, parts, pins
from projects.circuit.part_types import Cell, Terminal
from projects.forms.edit import EditForm, type_choices
from projects.said import say_name

__all__ = [
    "USES",
    "AddPart",
    "ChangeType",
    "Join",
    "PinUses",
    "RemoveConnection",
    "RemovePart",
    "RenameConnection",
    "RenamePart",
    "TakeOut",
    "terminal_choices",
]


def terminal_choices(document: Document) -> list[tuple[str, Any]]:
    """Every terminal, by part, with the label printed there and the connection that it is in."""
    types = parts.known_types(document.project)
    found: list[tuple[str, Any]] = []
    for part in document.project.parts:
        rows = []
        for terminal in types[part.type].terminals:
            name = f"{part.ref}.{terminal.name}"
            label = f" ({terminal.label})" if terminal.label and terminal.label != terminal.name else ""
            joined = document.project.connection_of(name)
            rows.append((name, f"{name}{label}" + (f" · {joined}" if joined else "")))
        found.append((f"{part.ref} {say_name(types[part.type].name)}", rows))
    return found


class AddPart(EditForm):
    """One more part."""

    what, section, submit = "add-part", "circuit", gettext_lazy("Add the part")
    type = forms.ChoiceField(label=gettext_lazy("Part"))
    ref = forms.CharField(
        label=gettext_lazy("Short name"),
        required=False,
        max_length=32,
        help_text=gettext_lazy("Such as L4, or nothing."),
    )

    def prepare(self) -> None:
        types = parts.known_types(self.document.project)
        used = {part.type for part in self.document.project.parts}
        if any(isinstance(types[name].model, Cell) for name in used):  # one cell in a circuit
            types = {name: one for name, one in types.items() if not isinstance(one.model, Cell)}
        self.fields["type"].choices = type_choices(types)  # type: ignore[attr-defined]

    def change(self, document: Document) -> Document:
        return parts.add_part(document, self.cleaned_data["type"], self.cleaned_data["ref"].strip())

    def said(self) -> str:
        return _("added a part: {name}").format(name=self.cleaned_data["type"])


class _Rename(EditForm):
    """What `about` names, a part or a connection, under another name."""

    section, submit = "circuit", gettext_lazy("Rename")
    about: ClassVar[str]
    new: ClassVar[str]
    rename: ClassVar[Callable[[Document, str, str], Document]]

    def change(self, document: Document) -> Document:
        return type(self).rename(document, self.cleaned_data[self.about], self.cleaned_data[self.new])

    def said(self) -> str:
        data = self.cleaned_data
        return _("renamed {old} to {new}").format(old=data[self.about], new=data[self.new])


class RenamePart(_Rename):
    """A part under another short name."""

    what, about, new, rename = "rename-part", "part", "ref", parts.rename_part
    part = forms.CharField(max_length=64, widget=forms.HiddenInput)
    ref = forms.CharField(label=gettext_lazy("Short name"), max_length=32)


class ChangeType(EditForm):
    """A part of another type; one form for all parts, since the list of types is long."""

    what, section, submit = "change-type", "circuit", gettext_lazy("Put it in its place")
    part = forms.ChoiceField(label=gettext_lazy("In place of"))
    type = forms.ChoiceField(label=gettext_lazy("take"))

    def prepare(self) -> None:
        types = parts.known_types(self.document.project)
        refs = [(part.ref, f"{part.ref} {say_name(types[part.type].name)}") for part in self.document.project.parts]
        self.fields["part"].choices = refs  # type: ignore[attr-defined]
        self.fields["type"].choices = type_choices(types)  # type: ignore[attr-defined]

    def change(self, document: Document) -> Document:
        return parts.change_type(document, self.cleaned_data["part"], self.cleaned_data["type"])

    def said(self) -> str:
        return _("made {ref} a {name}").format(ref=self.cleaned_data["part"], name=self.cleaned_data["type"])


class RemovePart(EditForm):
    """A part taken out."""

    what, section, submit = "remove-part", "circuit", gettext_lazy("Take it out")
    part = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return parts.remove_part(document, self.cleaned_data["part"])

    def said(self) -> str:
        return _("took {ref} out").format(ref=self.cleaned_data["part"])


class Join(EditForm):
    """Two terminals joined; if they are already, the second is taken out."""

    what, section, submit = "join", "circuit", gettext_lazy("Join")
    first = forms.ChoiceField(label=gettext_lazy("Terminal"))
    second = forms.ChoiceField(label=gettext_lazy("with terminal"))

    def prepare(self) -> None:
        choices = terminal_choices(self.document)
        for name in ("first", "second"):
            self.fields[name].choices = choices  # type: ignore[attr-defined]

    def change(self, document: Document) -> Document:
        return connections.join(document, self.cleaned_data["first"], self.cleaned_data["second"])

    def said(self) -> str:
        first, second = self.cleaned_data["first"], self.cleaned_data["second"]
        here = self.document.project.connection_of(first)
        if here is not None and here == self.document.project.connection_of(second):
            return _("took {terminal} out of its connection").format(terminal=second)
        return _("joined {first} and {second}").format(first=first, second=second)


class TakeOut(EditForm):
    """A terminal taken out of its connection."""

    what, section = "take-out", "circuit"
    terminal = forms.CharField(max_length=65, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return connections.take_out(document, self.cleaned_data["terminal"])

    def said(self) -> str:
        return _("took {terminal} out of its connection").format(terminal=self.cleaned_data["terminal"])


class RenameConnection(_Rename):
    """A connection under another name."""

    what, about, new, rename = "rename-connection", "connection", "name", connections.rename_connection
    connection = forms.CharField(max_length=64, widget=forms.HiddenInput)
    name = forms.CharField(label=gettext_lazy("Name"), max_length=32)


class RemoveConnection(EditForm):
    """A connection taken out; its terminals are free."""

    what, section, submit = "remove-connection", "circuit", gettext_lazy("Take it out")
    connection = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def change(self, document: Document) -> Document:
        return connections.remove_connection(document, self.cleaned_data["connection"])

    def said(self) -> str:
        return _("took the connection {name} out").format(name=self.cleaned_data["connection"])


USES = {
    "output": gettext_lazy("output: on or off"),
    "fade": gettext_lazy("output that fades"),
    "input": gettext_lazy("input"),
    "input-pull-up": gettext_lazy("input with pull-up"),
    "analog": gettext_lazy("analog input"),
    "touch": gettext_lazy("touch input"),
}


class PinUses(EditForm):
    """What each pin of one controller is used for; a pin offers what it is able to do."""

    what, section, submit = "pin-uses", "circuit", gettext_lazy("Save the uses")
    part = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def prepare(self) -> None:
        project = self.document.project
        types = {one.ref: parts.known_types(project)[one.type] for one in project.parts}
        ref = str(self.data.get("part") or self.initial.get("part") or "")
        self.pins: list[str] = []
        for terminal in types[ref].terminals if ref in types else ():
            if terminal.role == "pin":
                self._add(f"{ref}.{terminal.name}", terminal)

    def _add(self, pin: str, terminal: Terminal) -> None:
        joined = self.document.project.connection_of(pin)
        able: list[tuple[str, Any]] = [(use, USES[use]) for use in pins.uses_of(terminal)]
        now = self.document.project.pins.get(pin)
        if now and now not in dict(able):
            able.append((now, _("{use} (this pin cannot)").format(use=USES[now])))
        label = f"{pin} ({terminal.label or terminal.name})" + (f" · {joined}" if joined else "")
        self.fields[pin] = forms.ChoiceField(
            label=label, required=False, choices=[("", _("not used")), *able], initial=now or ""
        )
        self.pins.append(pin)

    def change(self, document: Document) -> Document:
        for pin in self.pins:
            document = pins.use_pin(document, pin, self.cleaned_data[pin] or None)
        return document

    def said(self) -> str:
        return _("set what the pins of {ref} are used for").format(ref=self.cleaned_data["part"])
