"""Supplies: what is needed that is not a part."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.rows import replaced, without
from projects.circuit.project import Supply

__all__ = ["add_supply", "change_supply", "remove_supply"]


def add_supply(document: Document, supply: Supply) -> Document:
    """One more supply at the end."""
    return with_project(document, supplies=(*document.project.supplies, supply))


def change_supply(document: Document, number: int, supply: Supply) -> Document:
    """Another supply in place of the one at that number, from 0."""
    return with_project(document, supplies=replaced(document.project.supplies, number, supply, "project.supplies"))


def remove_supply(document: Document, number: int) -> Document:
    """Without the supply at that number, from 0."""
    return with_project(document, supplies=without(document.project.supplies, number, "project.supplies"))
