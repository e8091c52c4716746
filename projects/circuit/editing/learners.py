"""What learners may change."""

from __future__ import annotations

from collections.abc import Iterable

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.project import LearnerMay

__all__ = ["set_learner_may", "set_swaps"]


def set_learner_may(document: Document, may: LearnerMay) -> Document:
    """What learners may change in their own kit."""
    return with_project(document, learner_may=may)


def set_swaps(document: Document, ref: str, types: Iterable[str]) -> Document:
    """The part types that may stand in for the part; none: it stays as it is."""
    swaps = {key: names for key, names in document.project.swaps.items() if key != ref}
    wanted = tuple(dict.fromkeys(types))
    if wanted:
        swaps[ref] = wanted
    return with_project(document, swaps=swaps)
