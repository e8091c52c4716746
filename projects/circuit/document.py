"""The whole project file as one value."""

from __future__ import annotations

from typing import Literal

from projects.circuit.base import Value
from projects.circuit.layout import Layout
from projects.circuit.project import Project

__all__ = ["FORMAT", "Document"]

FORMAT = "tieoff/1"


class Document(Value):
    """A project and one layout of it; what a file, an example or a learner's own circuit is."""

    format: Literal["tieoff/1"]
    project: Project
    layout: Layout = Layout()

    def with_layout(self, layout: Layout) -> Document:
        """The same project with another layout."""
        return Document(format=self.format, project=self.project, layout=layout)
