"""A project from nothing: a title, one piece and a cell."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.editing.outlines import Outline
from projects.circuit.editing.parts import add_part
from projects.circuit.project import Piece, Project

__all__ = ["start"]


def start(title: str, piece: str, outline: Outline, seam_allowance: float, cell: str) -> Document:
    """A document with one piece of fabric and one part: a cell of that type. Not yet checked."""
    fabric = Piece.model_construct(name=piece, outline=outline, seam_allowance=seam_allowance)
    empty = Project.model_construct(title=title, pieces=(fabric,), parts=(), connections=())
    return add_part(Document.model_construct(format="tieoff/1", project=empty), cell)
