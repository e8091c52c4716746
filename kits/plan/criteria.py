"""What marks are given for where a project names no criteria of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kits.plan.sessions import LAYOUT
from kits.plan.values import PlannedStage
from projects.circuit.project import Project
from projects.circuit.text import Message, msg

__all__ = ["Criterion", "criteria_of"]


@dataclass(frozen=True)
class Criterion:
    """One criterion: the name of its stage, that stage's title, and what is asked, as stored and as said."""

    stage: str
    title: Message
    text: str
    words: Message


_LAYOUT_TITLE = msg("Make the plan")
_USUAL = (
    (LAYOUT, msg("Makes a plan that the check lets through, and can say why each line lies where it does.")),
    ("sew", msg("Sews tight stitches over each terminal and short ones between; nothing loose, nothing touches.")),
    ("test", msg("Tests before the battery goes in, and finds a fault by looking and measuring.")),
    ("finish", msg("Finishes the object, and can say how to use it safely.")),
)
"""Common practice, no published source: a teacher writes their own into the project."""


def criteria_of(project: Project, stages: Sequence[PlannedStage]) -> tuple[Criterion, ...]:
    """The project's own criteria in the order of its stages, else the usual four."""
    titles = {LAYOUT: _LAYOUT_TITLE, **{stage.name: stage.title for stage in stages}}
    order = {name: number for number, name in enumerate(titles)}
    if not project.criteria:
        return tuple(_usual(kind, words, stages) for kind, words in _USUAL)
    own = sorted(project.criteria, key=lambda one: order.get(one.stage, len(order)))
    return tuple(
        Criterion(
            one.stage,
            titles.get(one.stage, msg("{stage}", stage=one.stage)),
            one.text[:200],
            msg("{criterion}", criterion=one.text),
        )
        for one in own
    )


def _usual(kind: str, words: Message, stages: Sequence[PlannedStage]) -> Criterion:
    if kind == LAYOUT:
        return Criterion(LAYOUT, _LAYOUT_TITLE, words.text, words)
    last = [stage for stage in stages if kind in stage.kinds]
    if not last:
        return Criterion(kind, msg("Sew"), words.text, words)
    title = msg("Sew") if kind == "sew" else last[-1].title
    return Criterion(kind, title, words.text, words)
