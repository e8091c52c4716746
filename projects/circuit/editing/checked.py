"""The one judge of every edit: what is written must read back as the same document."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.layout import Layout
from projects.circuit.project import Project
from projects.circuit.project_file import read, write

__all__ = ["checked", "with_project"]


def checked(document: Document) -> Document:
    """The document as the project file holds it. Raises Refusal, with the place, for what a file may not hold."""
    return read(write(document))


def with_project(document: Document, layout: Layout | None = None, **changes: object) -> Document:
    """The document with some values of its project replaced, and its layout where one is given; not yet checked."""
    project: Project = document.project.model_copy(update=changes)
    return document.model_copy(update={"project": project, "layout": document.layout if layout is None else layout})
