"""Title, thread, distances and settings."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.project import Settings, Thread

__all__ = ["set_distances", "set_settings", "set_thread", "set_title"]


def set_title(document: Document, title: str) -> Document:
    """The project under another title."""
    return with_project(document, title=title)


def set_thread(document: Document, thread: Thread) -> Document:
    """The project sewn with this thread."""
    return with_project(document, thread=thread)


def set_distances(document: Document, spacing: float, contact: float) -> Document:
    """The distance that lines keep, and the one at which they touch, mm."""
    return with_project(document, spacing=spacing, contact=contact)


def set_settings(document: Document, settings: Settings) -> Document:
    """The project with these settings."""
    return with_project(document, settings=settings)
