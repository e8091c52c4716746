"""A document with only what is sewn already: what is real on the fabric at this moment."""

from __future__ import annotations

from collections.abc import Collection

from projects.circuit.document import Document

__all__ = ["sewn_so_far"]


def sewn_so_far(document: Document, lines_done: Collection[str]) -> Document:
    """The document with the lines of those names alone, and with the joins that these end at.

    Parts stay where they are placed: their places are marked, whether they are sewn on yet or not.
    """
    layout = document.layout
    lines = tuple(line for line in layout.lines if line.name in lines_done)
    ends = {end for line in lines for end in (line.start, line.end)}
    joins = tuple(join for join in layout.joins if f"@{join.name}" in ends)
    return document.with_layout(layout.model_copy(update={"lines": lines, "joins": joins}))
