"""What is counted, in which trays; and closing a count."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from kits.models import Kit, Session, ToolKind, ToolTray, Workshop
from kits.services.tool_setup import ToolRow, TrayRow

__all__ = ["CloseForm", "CountForm", "HomeForm", "ToolsForm", "TrayForm"]

_NEW_KINDS = 3
_NEW_TRAYS = 2


def _text(label: object, length: int) -> forms.CharField:
    return forms.CharField(
        label=label,  # type: ignore[arg-type]
        max_length=length,
        required=False,
        widget=forms.TextInput(attrs={"class": "form-control"}),
    )


def _tick(label: object) -> forms.BooleanField:
    return forms.BooleanField(
        label=label,  # type: ignore[arg-type]
        required=False,
        widget=forms.CheckboxInput(attrs={"class": "form-check-input"}),
    )


class ToolsForm(forms.Form):
    """The kinds and trays of a workshop, each a row, with a few empty rows for new ones."""

    def __init__(self, workshop: Workshop, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kinds: dict[str, ToolKind | None] = {str(one.pk): one for one in workshop.tool_kinds.all()}
        self.kinds |= {f"new{number}": None for number in range(_NEW_KINDS)}
        self.trays: dict[str, ToolTray | None] = {str(one.pk): one for one in workshop.tool_trays.all()}
        self.trays |= {f"new{number}": None for number in range(_NEW_TRAYS)}
        for key, kind in self.kinds.items():
            self._add(f"kind-{key}-name", _text(_("What"), 60), kind.name if kind else "")
            usual = forms.IntegerField(
                label=_("How many lie in a tray"),
                min_value=0,
                max_value=200,
                required=False,
                widget=forms.NumberInput(attrs={"class": "form-control number-field"}),
            )
            self._add(f"kind-{key}-usual", usual, kind.usual if kind else 0)
            self._add(f"kind-{key}-home", _tick(_("May go home in the object")), kind.in_objects if kind else False)
            self._add(f"kind-{key}-use", _tick(_("Is counted")), kind.in_use if kind else True)
        for key, tray in self.trays.items():
            self._add(f"tray-{key}-name", _text(_("Tray"), 40), tray.name if tray else "")
            self._add(f"tray-{key}-use", _tick(_("In use")), tray.in_use if tray else True)

    def _add(self, name: str, field: forms.Field, initial: object) -> None:
        self.fields[name] = field
        self.initial.setdefault(name, initial)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for group, rows in (("kind", self.kinds), ("tray", self.trays)):
            for key, there in rows.items():
                if there is not None and not data.get(f"{group}-{key}-name", "").strip():
                    self.add_error(f"{group}-{key}-name", _("Write a name; to drop the row, take its tick away."))
        return data

    def kind_rows(self) -> list[tuple[forms.BoundField, forms.BoundField, forms.BoundField, forms.BoundField]]:
        return [
            (self[f"kind-{key}-name"], self[f"kind-{key}-usual"], self[f"kind-{key}-home"], self[f"kind-{key}-use"])
            for key in self.kinds
        ]

    def tray_rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"tray-{key}-name"], self[f"tray-{key}-use"]) for key in self.trays]

    def wanted_kinds(self) -> list[ToolRow]:
        """The rows that have a name; call it on a valid form."""
        data = self.cleaned_data
        return [
            ToolRow(
                kind.pk if kind else None,
                " ".join(data[f"kind-{key}-name"].split()),
                data[f"kind-{key}-usual"] or 0,
                data[f"kind-{key}-home"],
                data[f"kind-{key}-use"],
            )
            for key, kind in self.kinds.items()
            if data[f"kind-{key}-name"].strip()
        ]

    def wanted_trays(self) -> list[TrayRow]:
        """The rows that have a name; call it on a valid form."""
        data = self.cleaned_data
        return [
            TrayRow(tray.pk if tray else None, " ".join(data[f"tray-{key}-name"].split()), data[f"tray-{key}-use"])
            for key, tray in self.trays.items()
            if data[f"tray-{key}-name"].strip()
        ]


class TrayForm(forms.Form):
    """One tray of a session's workshop."""

    tray = forms.ModelChoiceField(ToolTray.objects.none())

    def __init__(self, session: Session, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        tray = self.fields["tray"]
        assert isinstance(tray, forms.ModelChoiceField)
        tray.queryset = session.workshop.tool_trays.all()


class CountForm(TrayForm):
    """One more or one fewer of a kind, out of or back into a tray."""

    kind = forms.ModelChoiceField(ToolKind.objects.none())
    way = forms.ChoiceField(choices=[("out", ""), ("back", "")])
    change = forms.IntegerField(min_value=-1, max_value=1)

    def __init__(self, session: Session, *args: Any, **kwargs: Any) -> None:
        super().__init__(session, *args, **kwargs)
        kind = self.fields["kind"]
        assert isinstance(kind, forms.ModelChoiceField)
        kind.queryset = session.workshop.tool_kinds.all()


class HomeForm(TrayForm):
    """A cell of a tray that went home in a kit's object."""

    kind = forms.ModelChoiceField(ToolKind.objects.none())
    kit = forms.ModelChoiceField(Kit.objects.none(), error_messages={"required": _("Choose the kit.")})

    def __init__(self, session: Session, *args: Any, **kwargs: Any) -> None:
        super().__init__(session, *args, **kwargs)
        kind, kit = self.fields["kind"], self.fields["kit"]
        assert isinstance(kind, forms.ModelChoiceField)
        assert isinstance(kit, forms.ModelChoiceField)
        kind.queryset = session.workshop.tool_kinds.filter(in_objects=True)
        kit.queryset = session.workshop.kits.defer("document", "layout")


class CloseForm(forms.Form):
    """Why a session's count is closed, though something may be missing."""

    reason = forms.CharField(
        label=_("Why may the session end without it?"),
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "class": "form-control"}),
    )
