"""What a teacher wants printed, kept once for all their classes."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.models import User

from kits.models import SchoolNotes

__all__ = ["keep_label_grid", "notes_of"]


def notes_of(user: User) -> SchoolNotes:
    """This teacher's notes; empty ones, not stored yet, where nothing was written."""
    return SchoolNotes.objects.filter(owner=user).first() or SchoolNotes(owner=user)


def keep_label_grid(notes: SchoolNotes, grid: dict[str, Any]) -> None:
    """Remember the sheet of labels for the next time."""
    SchoolNotes.objects.update_or_create(owner=notes.owner, defaults={"label_grid": grid})
