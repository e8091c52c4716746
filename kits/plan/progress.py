"""How far the sewing of one plan is, from its events alone: what is done, what to do now, what comes next."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from kits.plan.step_log import StepLog, TakenReading
from kits.plan.values import Plan, PlannedStage, Step
from kits.progress import Tick
from projects.drawing.overlay import LineState

__all__ = ["Advance", "Progress", "TakenReading", "advances", "lines_sewn", "progress_of"]


@dataclass(frozen=True)
class Progress:
    """Where the sewing of `plan` stands.

    `done`: keys of the steps that are done. `looked`: stages that a teacher or helper has signed off. `readings`:
    all that were taken, oldest first. `reason`: why a stage was sent back, until it is ticked again. `moved_at`: when
    something last got done. `kept`: lines that the plan found sewn. `by_step`: steps are ticked one by one.
    """

    plan: Plan
    done: frozenset[str]
    looked: frozenset[str]
    readings: tuple[TakenReading, ...]
    reason: str
    moved_at: datetime | None
    kept: frozenset[str] = frozenset()
    by_step: bool = False

    @cached_property
    def left(self) -> tuple[tuple[PlannedStage, Step], ...]:
        """Steps still to do, in order; optional ones only after the last that is done."""
        steps = [(stage, step) for stage in self.plan.stages for step in stage.steps]
        last = max((at for at, (_, step) in enumerate(steps) if step.key in self.done), default=-1)
        return tuple(
            (stage, step)
            for at, (stage, step) in enumerate(steps)
            if step.key not in self.done and (at > last or not step.optional)
        )

    @property
    def now(self) -> Step | None:
        """The step to do, None once all are done."""
        return self.left[0][1] if self.left else None

    @property
    def next(self) -> Step | None:
        return self.left[1][1] if len(self.left) > 1 else None

    @property
    def before(self) -> Step | None:
        """The last step that is done before the one to do now: what "back" opens again."""
        steps = [step for stage in self.plan.stages for step in stage.steps]
        until = next((at for at, step in enumerate(steps) if step is self.now), len(steps))
        return next((step for step in reversed(steps[:until]) if step.key in self.done), None)

    @property
    def stage(self) -> PlannedStage | None:
        """The stage of the step to do."""
        return self.left[0][0] if self.left else None

    @property
    def waiting_for_look(self) -> str | None:
        """The stage whose look comes now."""
        if self.stage is not None and self.now is not None and self.now.key == f"look:{self.stage.name}":
            return self.stage.name
        return None

    @cached_property
    def stages_done(self) -> tuple[str, ...]:
        """Stages with nothing left to do, in order."""
        open_stages = {stage.name for stage, _ in self.left}
        return tuple(stage.name for stage in self.plan.stages if stage.name not in open_stages)

    @cached_property
    def lines_done(self) -> frozenset[str]:
        """Lines that are sewn from end to end."""
        return lines_sewn(self.plan, self.done, self.kept)[0]

    @cached_property
    def line_states(self) -> Mapping[str, LineState]:
        """For the drawing: lines done, the one to sew now (or at which the step to do is), and the next one."""
        states: dict[str, LineState] = dict.fromkeys(sorted(self.lines_done), "done")
        coming = dict.fromkeys(step.line for _, step in self.left if step.action == "sew" and step.line)
        if self.now is not None and self.now.line is not None:
            coming.pop(self.now.line, None)
            states[self.now.line] = "now"
        if coming:
            states[next(iter(coming))] = "next"
        return states

    @property
    def minutes_left(self) -> float:
        """Planned minutes of all that is left."""
        return math.fsum(step.minutes for _, step in self.left)

    @property
    def minutes_done(self) -> float:
        return math.fsum(step.minutes for stage in self.plan.stages for step in stage.steps if step.key in self.done)

    def newest(self, key: str) -> TakenReading | None:
        """The last reading taken at that step."""
        return next((one for one in reversed(self.readings) if one.key == key), None)


def progress_of(
    plan: Plan,
    ticks: Iterable[Tick],
    *,
    kept: Iterable[str] = (),
    done: Collection[str] = (),
    by_step: bool = False,
) -> Progress:
    """Where a plan stands after these events, oldest first.

    Of a plan that continues another, `kept` and `done` are those of its `Continued`, `by_step` that of the `Progress`
    before it, and the events are those since then.

    Kinds that count: step-done, step-undone, stage-done, stage-undone, signed-off, sent-back (of a stage),
    reading-taken. A look is done by a sign-off alone. A reading that is as it should be does its step; one that is
    not leaves it to do. Steps that the plan does not have are passed over.
    """
    log = StepLog(plan, done, by_step)
    moved_at: datetime | None = None
    for tick in ticks:
        if log.apply(tick):
            moved_at = tick.at
    return Progress(
        plan=plan,
        done=frozenset(log.done),
        looked=frozenset(log.looked),
        readings=tuple(log.readings),
        reason=log.reason,
        moved_at=moved_at,
        kept=frozenset(kept),
        by_step=log.by_step,
    )


@dataclass(frozen=True)
class Advance:
    """Steps of one stage that one event has done, by their planned minutes."""

    at: datetime
    stage: str
    planned_minutes: float


def advances(plan: Plan, ticks: Iterable[Tick], done: Collection[str] = ()) -> Iterator[Advance]:
    """What got done when, for the pace; one for each stage that an event has moved on."""
    log = StepLog(plan, done)
    for tick in ticks:
        fresh = log.apply(tick)
        for stage in plan.stages if fresh else ():
            minutes = math.fsum(step.minutes for step in stage.steps if step.key in fresh)
            if minutes > 0:
                yield Advance(tick.at, stage.name, minutes)


def lines_sewn(plan: Plan, done: Iterable[str], kept: Iterable[str] = ()) -> tuple[frozenset[str], frozenset[str]]:
    """Names of the lines that are sewn from end to end, and of those that are sewn in part."""
    finished = set(done)
    steps: dict[str, list[bool]] = {}
    for stage in plan.stages:
        for step in stage.steps:
            if step.action == "sew" and step.line is not None:
                steps.setdefault(step.line, []).append(step.key in finished)
    whole = {line for line, parts in steps.items() if all(parts)} | set(kept)
    partly = {line for line, parts in steps.items() if any(parts)} - whole
    return frozenset(whole), frozenset(partly)
