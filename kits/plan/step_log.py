"""Events of a kit, one after another, turned into the steps of its plan that are done."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import datetime

from kits.plan.judge import Judgement, judge
from kits.plan.values import Plan, Step
from kits.progress import Tick

__all__ = ["StepLog", "TakenReading"]


@dataclass(frozen=True)
class TakenReading:
    """What a meter showed: ohms or volts, None for open. `judgement` None where the plan asks for no such reading."""

    key: str
    value: float | None
    at: datetime
    judgement: Judgement | None


class StepLog:
    """Steps done, stages looked at, and why something was sent back; `apply` takes one event.

    A stage ticked as a whole (paper mode) does all its steps. Taking that tick back takes back just what it did; where
    it did nothing, because every step was ticked by itself, the last one is to be done again.
    """

    def __init__(self, plan: Plan, done: Collection[str] = (), by_step: bool = False) -> None:
        """`done`: steps that were done before the first event; `by_step`: whether they were ticked one by one."""
        self.stages: Mapping[str, tuple[Step, ...]] = {stage.name: stage.steps for stage in plan.stages}
        self.expected = {reading.key: reading for reading in plan.readings}
        self.known = {step.key for steps in self.stages.values() for step in steps}
        self.looks = {f"look:{stage.name}" for stage in plan.stages if stage.look}
        self.done: set[str] = self.known.intersection(done)
        self.looked: set[str] = {look.removeprefix("look:") for look in self.looks & self.done}
        self.readings: list[TakenReading] = []
        self.reason = ""
        self.by_step = by_step
        """Whether steps are ticked one by one; if not, a sign-off means the whole stage."""
        self._asked: set[str] = set()
        self._whole: dict[str, set[str]] = {}
        self._apply: Mapping[str, Callable[[Tick], None]] = {
            "step-done": lambda tick: self.step_done(tick.step),
            "step-undone": lambda tick: self.done.discard(tick.step),
            "stage-done": lambda tick: self._stage_done(tick.stage),
            "stage-undone": lambda tick: self._stage_undone(tick.stage),
            "look-asked": lambda tick: self._look_asked(tick.stage),
            "signed-off": lambda tick: self._signed_off(tick.stage),
            "sent-back": self._sent_back,
            "reading-taken": self._reading_taken,
        }

    def apply(self, tick: Tick) -> set[str]:
        """Take one event and give the steps that it does; events that say nothing of steps are passed over."""
        before = set(self.done)
        change = self._apply.get(tick.kind)
        if change is not None:
            change(tick)
        return self.done - before

    def step_done(self, key: str) -> None:
        if key in self.known and key not in self.looks:
            self.by_step = True
            self.done.add(key)
            self.reason = ""

    def _steps(self, stage: str) -> tuple[Step, ...]:
        return self.stages.get(stage, ())

    def _stage_done(self, stage: str) -> None:
        fresh = {step.key for step in self._steps(stage)} - self.looks - self.done
        self._whole[stage] = fresh
        self.done |= fresh
        self.reason = ""

    def _look_asked(self, stage: str) -> None:
        """All that must be done before the look is done."""
        self._asked.add(stage)
        fresh = {step.key for step in self._before_look(stage) if not step.optional} - self.done
        self._whole[stage] = self._whole.get(stage, set()) | fresh
        self.done |= fresh
        self.reason = ""

    def _stage_undone(self, stage: str) -> None:
        self.looked.discard(stage)
        self._asked.discard(stage)
        self.done.discard(f"look:{stage}")
        fresh = self._whole.pop(stage, set()) & self.done
        self.done -= fresh
        if not fresh:
            self._open_last(stage)

    def _signed_off(self, stage: str) -> None:
        """A look does all that comes before it; what comes after too where a stage is ticked as a whole."""
        if stage not in self.stages:
            return
        self.looked.add(stage)
        self.reason = ""
        keys = [step.key for step in self._steps(stage)]
        look = f"look:{stage}"
        goes_on = (self.by_step or stage in self._asked) and look in keys
        until = keys.index(look) + 1 if goes_on else len(keys)
        fresh = set(keys[:until]) - self.done
        self._whole[stage] = self._whole.get(stage, set()) | fresh
        self.done |= fresh

    def _sent_back(self, tick: Tick) -> None:
        """What is to be put right is known to people alone: the last thing before the look is done again."""
        if tick.stage not in self.stages:
            return
        self.looked.discard(tick.stage)
        self.done.discard(f"look:{tick.stage}")
        self._whole.pop(tick.stage, None)
        self._open_last(tick.stage)
        self.reason = tick.text

    def _reading_taken(self, tick: Tick) -> None:
        reading = self.expected.get(tick.step)
        judgement = judge(reading, tick.value) if reading is not None else None
        self.readings.append(TakenReading(tick.step, tick.value, tick.at, judgement))
        if judgement is not None and judgement.ok:
            self.step_done(tick.step)

    def _before_look(self, stage: str) -> tuple[Step, ...]:
        """The steps before the stage's look; all where it has none."""
        steps = self._steps(stage)
        until = next((at for at, step in enumerate(steps) if step.key == f"look:{stage}"), len(steps))
        return steps[:until]

    def _open_last(self, stage: str) -> None:
        before_look = [step.key for step in self._before_look(stage)]
        last = next((key for key in reversed(before_look) if key in self.done), None)
        if last is not None and self.done.issuperset(before_look):
            self.done.discard(last)
