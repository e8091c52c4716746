"""The threads of a plan as a sheet names them: thread 2, and its lines 2a, 2b … in the order in which they are sewn."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import ascii_lowercase

from kits.plan.values import Plan, Run, Step
from kits.plan.words import place_words
from kits.sheets.content.lengths import cut_length
from kits.sheets.content.values import Units
from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.text import Message

__all__ = ["ThreadRow", "ends_of", "line_labels", "numbers", "thread_rows", "with_labels"]


_LINES = frozenset({"line", "lines", "under", "other"})


@dataclass(frozen=True)
class ThreadRow:
    """One thread to cut: its number on the drawing, the ends it goes through, how long to cut and when folded."""

    number: int
    connection: str
    way: tuple[Message, ...]
    cut: str
    folded: str | None
    minutes: int
    split: Message | None


def numbers(runs: Sequence[Run]) -> Mapping[str, int]:
    """The number of each thread, by the run's name; 1 is sewn first."""
    return {run.name: number for number, run in enumerate(runs, 1)}


def line_labels(runs: Sequence[Run]) -> Mapping[str, str]:
    """What each line is called on paper: 1 if it is all of thread 1, else 1a, 1b …; 2b/3 if two threads sew it."""
    labels: dict[str, list[str]] = {}
    for number, run in enumerate(runs, 1):
        for at, line in enumerate(run.lines):
            letter = "" if len(run.lines) == 1 else ascii_lowercase[at] if len(run.lines) <= 26 else f".{at + 1}"
            labels.setdefault(line, []).append(f"{number}{letter}")
    return {line: "/".join(dict.fromkeys(names)) for line, names in labels.items()}


def with_labels(text: Message, labels: Mapping[str, str]) -> Message:
    """The same text, its lines named as on the drawing. Lines are the values `line`, `lines`, `under` and `other`."""
    return Message(text.text, {name: _labelled(name, value, labels) for name, value in text.values.items()})


def _labelled(name: str, value: object, labels: Mapping[str, str]) -> object:
    if isinstance(value, Message):
        return with_labels(value, labels)
    if not isinstance(value, str) or name not in _LINES:
        return value
    return ", ".join(labels.get(line, line) for line in value.split(", "))


def thread_rows(runs: Sequence[Run], laid_out: LaidOut, units: Units) -> tuple[ThreadRow, ...]:
    """A row for each thread, in the order of sewing."""
    folds = laid_out.project.thread.strands == 2
    return tuple(
        ThreadRow(
            number=number,
            connection=run.connection,
            way=tuple(place_words(laid_out, end) for end in run.terminals),
            cut=cut_length(run.cut_mm, units),
            folded=cut_length(run.cut_mm / 2, units) if folds else None,
            minutes=math.ceil(run.minutes),
            split=run.split,
        )
        for number, run in enumerate(runs, 1)
    )


def ends_of(plan: Plan) -> Mapping[str, tuple[Spot, Spot]]:
    """Where each thread starts and where it is tied off, by the run's name; from the steps that sew it."""
    sewing: dict[str, list[Step]] = {}
    for step in (step for stage in plan.stages for step in stage.steps):
        if step.action == "sew" and step.run is not None and step.at:
            sewing.setdefault(step.run, []).append(step)
    return {run: (steps[0].at[0], steps[-1].at[-1]) for run, steps in sewing.items()}
