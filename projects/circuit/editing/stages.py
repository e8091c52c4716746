"""Stages and the criteria that marks are given for."""

from __future__ import annotations

from collections.abc import Mapping

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.rows import replaced, row_at, without
from projects.circuit.project import LAYOUT_STAGE, Criterion, Stage

__all__ = [
    "add_criterion",
    "change_criterion",
    "change_stage",
    "merge_stages",
    "move_stage",
    "remove_criterion",
    "remove_stage",
    "set_stages",
]

Stages = tuple[Stage, ...]
_PLACE = "project.stages"


def set_stages(document: Document, stages: Stages, renamed: Mapping[str, str] | None = None) -> Document:
    """The project with these stages; none: those that the plan makes.

    `renamed`: new name by old name, of stages that criteria may speak of. Criteria of a stage that is gone are kept,
    with the last stage: a teacher wrote them.
    """
    names = {LAYOUT_STAGE, *(stage.name for stage in stages)}

    def stage_of(criterion: Criterion) -> str:
        new = (renamed or {}).get(criterion.stage, criterion.stage)
        return new if not stages or new in names else stages[-1].name

    stages = tuple(one.model_copy(update={"does": ()}) if _has_its_name(one) else one for one in stages)
    criteria = tuple(one.model_copy(update={"stage": stage_of(one)}) for one in document.project.criteria)
    return with_project(document, stages=stages, criteria=criteria)


def _has_its_name(stage: Stage) -> bool:
    """Whether the name alone tells which stage of the plan it stands for."""
    return stage.does == (stage.name,) and not stage.connections


def change_stage(stages: Stages, number: int, name: str, look: bool) -> Stages:
    """The stage at that number (from 0) under this name, with or without a look at its end."""
    old = row_at(stages, number, _PLACE)
    return replaced(stages, number, old.model_copy(update={"name": name, "look": look}), _PLACE)


def move_stage(stages: Stages, number: int, by: int) -> Stages:
    """The stage at that number moved by so many places, at most to an end."""
    stage = row_at(stages, number, _PLACE)
    rest = without(stages, number, _PLACE)
    at = max(0, min(len(rest), number + by))
    return (*rest[:at], stage, *rest[at:])


def merge_stages(stages: Stages, number: int) -> Stages:
    """The stage at that number and the next as one, under the first name; it ends with a look if either did."""
    first, second = row_at(stages, number, _PLACE), row_at(stages, number + 1, _PLACE)
    both = first.model_copy(
        update={
            "connections": tuple(dict.fromkeys((*first.connections, *second.connections))),
            "does": tuple(dict.fromkeys((*first.does, *second.does))),
            "look": first.look or second.look,
        }
    )
    return (*stages[:number], both, *stages[number + 2 :])


def remove_stage(stages: Stages, number: int) -> Stages:
    """Without the stage at that number; what it sewed gets a stage of the plan's own again."""
    return without(stages, number, _PLACE)


def add_criterion(document: Document, criterion: Criterion) -> Document:
    """One more criterion at the end."""
    return with_project(document, criteria=(*document.project.criteria, criterion))


def change_criterion(document: Document, number: int, criterion: Criterion) -> Document:
    """Another criterion in place of the one at that number, from 0."""
    return with_project(document, criteria=replaced(document.project.criteria, number, criterion, "project.criteria"))


def remove_criterion(document: Document, number: int) -> Document:
    """Without the criterion at that number, from 0."""
    return with_project(document, criteria=without(document.project.criteria, number, "project.criteria"))
