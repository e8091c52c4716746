"""Every edit of a draft that a page offers, by the name in its address."""

from __future__ import annotations

from collections.abc import Mapping

from projects.forms.circuit import (
    AddPart,
    ChangeType,
    Join,
    PinUses,
    RemoveConnection,
    RemovePart,
    RenameConnection,
    RenamePart,
    TakeOut,
)
from projects.forms.edit import EditForm
from projects.forms.fabric import AddPiece, AddSeamCrossing, ChangePiece, RemovePiece, SetFacing
from projects.forms.facts import AddSupply, ChangeSupply, Distances, RemoveSupply, SettingsForm, ThreadForm, Title
from projects.forms.learners import LearnerMay, Swaps
from projects.forms.part_type import PartTypeForm, RemovePartType

__all__ = ["EDITS"]

_ALL: tuple[type[EditForm], ...] = (
    AddPart,
    RenamePart,
    ChangeType,
    RemovePart,
    Join,
    TakeOut,
    RenameConnection,
    RemoveConnection,
    PinUses,
    AddPiece,
    ChangePiece,
    RemovePiece,
    SetFacing,
    AddSeamCrossing,
    PartTypeForm,
    RemovePartType,
    LearnerMay,
    Swaps,
    Title,
    ThreadForm,
    Distances,
    SettingsForm,
    AddSupply,
    ChangeSupply,
    RemoveSupply,
)

EDITS: Mapping[str, type[EditForm]] = {form.what: form for form in _ALL}
