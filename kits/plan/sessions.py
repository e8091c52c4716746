"""Spreading the stages of a plan over the sessions of a class, and what to set out for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from statistics import median

from kits.plan.values import PlannedStage, Run, StageKind
from projects.circuit.project import LAYOUT_STAGE
from projects.circuit.text import Message, msg

__all__ = ["LAYOUT", "KitWork", "StageTime", "last_stages", "stage_times", "things_to_set_out"]

LAYOUT = LAYOUT_STAGE
"""The name under which a session plan has the making of the layout, before any stage of the sewing plan."""


@dataclass(frozen=True)
class StageTime:
    """How long a stage takes a class: minutes of the kit in the middle, and of the slowest."""

    name: str
    title: Message
    minutes: float
    longest: float


@dataclass(frozen=True)
class KitWork:
    """What one kit has before it in a session; `runs` are those of its sewing stages."""

    number: int
    learners: int
    stages: tuple[PlannedStage, ...]
    runs: tuple[Run, ...]
    cells: int
    layout: bool = False

    def has(self, *kinds: StageKind) -> bool:
        return any(not set(kinds).isdisjoint(stage.kinds) for stage in self.stages)


def stage_times(plans: Sequence[Sequence[PlannedStage]], layout_minutes: float) -> tuple[StageTime, ...]:
    """The stages of kits that make the same project, in order, each once, after the making of the layout.

    Kits may differ in some stages; one that only some have stands where it stands with them.
    """
    order: list[str] = []
    for stages in plans:
        at = 0
        for stage in stages:
            if stage.name in order:
                at = order.index(stage.name) + 1
            else:
                order.insert(at, stage.name)
                at += 1
    found = {stage.name: stage for stages in reversed(plans) for stage in stages}
    times = {name: [one.minutes for stages in plans for one in stages if one.name == name] for name in order}
    first = [StageTime(LAYOUT, msg("Make the plan"), layout_minutes, layout_minutes)] if layout_minutes else []
    return (*first, *(StageTime(name, found[name].title, median(times[name]), max(times[name])) for name in order))


def last_stages(minutes: Sequence[float], sessions: Sequence[float]) -> list[int]:
    """For each session, how many stages are done by its end if all goes as planned.

    `minutes` of the stages in order, `sessions` the minutes of sewing in each. A stage that does not fit into what
    is left of one session is begun there and ends in the next. What is left over after the last is in no session.

    >>> last_stages([10, 30, 30, 20], [50, 50])
    [2, 4]
    >>> last_stages([90], [50, 50])
    [0, 1]
    """
    ends = list(accumulate(minutes))
    return [sum(end <= there + 1e-6 for end in ends) for there in accumulate(sessions)]


def things_to_set_out(works: Sequence[KitWork]) -> tuple[Message, ...]:
    """What to have ready for what these kits do, with how many of each."""
    busy = [work for work in works if work.stages or work.layout]
    found = [msg("Bags and step sheets of {count} kits", count=len(busy))] if busy else []
    if count := sum(work.layout for work in busy):
        found.append(msg("Tablets or planning sheets for {count} kits", count=count))
    if count := sum(work.has("mark") for work in busy):
        found.append(msg("Placement templates, chalk or pens for {count} kits", count=count))
    if count := sum(work.has("try") for work in busy):
        found.append(msg("Clip leads for {count} kits, six each", count=count))
    sewing = [work for work in busy if work.has("sew")]
    if sewing:
        learners = sum(work.learners for work in sewing)
        metres = sum(run.cut_mm for work in sewing for run in work.runs) / 1000
        found.append(msg("Needles and pin pads for {count} learners", count=learners))
        found.append(msg("Scissors, one pair for two learners: {count}", count=-(-learners // 2)))
        found.append(msg("Conductive thread, {metres} m", metres=f"{metres:.1f}"))
    if count := sum(work.cells for work in busy if work.has("try", "light", "test")):
        found.append(msg("Batteries, in their tray until a stage is tested: {count}", count=count))
    if any(work.has("test", "light", "sew") for work in busy):
        found.append(msg("Meters, leads zeroed"))
    if count := sum(work.has("finish") for work in busy):
        found.append(msg("Ordinary thread, stuffing, and what seals a knot, for {count} kits", count=count))
    return tuple(found)
