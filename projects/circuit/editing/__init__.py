"""Edits of a document: one pure function each, a document in, a document out.

They build the new document without judging it; `checked` lets the reader of the project file judge the whole, so that
an edit and a file are refused in the same words at the same places.
"""

from projects.circuit.editing.checked import checked

__all__ = ["checked"]
