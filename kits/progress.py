"""How far a kit is, worked out from its events. Pure: values in, values out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

__all__ = ["BOARD_KINDS", "KitState", "Phase", "StageRow", "StageState", "Tick", "state_of"]

Phase = Literal["not-begun", "laying-out", "handed-in", "sent-back", "sewing", "finished"]
StageState = Literal["to-do", "now", "waiting", "done"]


@dataclass(frozen=True)
class StageRow:
    """A stage of the plan as a kit keeps it: its fixed name, what people read, whether it has a look.

    `goes_on`: there is more to do after the look, such as putting the cell in; else the look ends the stage.
    """

    name: str
    title: str
    look: bool = False
    goes_on: bool = False


@dataclass(frozen=True)
class Tick:
    """The part of an event that says how far a kit is.

    `step` is a step's key; `value` what a meter showed at a "reading-taken", None where it showed open.
    """

    kind: str
    stage: str
    at: datetime
    submission: int | None = None
    text: str = ""
    step: str = ""
    value: float | None = None


@dataclass(frozen=True)
class KitState:
    """Where a kit stands.

    `done`: stages ticked; `signed`: stages that a teacher or helper has looked at; `asked`: stages that have come to
    their look, with more to do after it. `current`: the stage to work on, None before sewing and after the last.
    `submission`: the newest handed in; `accepted`: the one that is sewn by. `help_since`, `help_about`: a call for
    help that nobody has answered yet. `reason`: why something was sent back. `moved_at`: when it last moved on.
    `by_step`: steps are ticked one by one, not stages as a whole.
    """

    phase: Phase = "not-begun"
    done: frozenset[str] = frozenset()
    signed: frozenset[str] = frozenset()
    asked: frozenset[str] = frozenset()
    current: str | None = None
    waiting_for_look: str | None = None
    submission: int | None = None
    accepted: int | None = None
    help_since: datetime | None = None
    help_about: str = ""
    reason: str = ""
    moved_at: datetime | None = None
    by_step: bool = False

    @property
    def sewing_begun(self) -> bool:
        """Whether a layout was accepted, so that it is no longer the learner's to change."""
        return self.accepted is not None and self.phase in ("sewing", "finished")

    def of_stage(self, stage: StageRow) -> StageState:
        """What the board shows for one stage."""
        if stage.name in self.done:
            return "waiting" if stage.look and stage.name not in self.signed else "done"
        if stage.name == self.waiting_for_look:
            return "waiting"
        return "now" if stage.name == self.current else "to-do"


def state_of(stages: Sequence[StageRow], ticks: Iterable[Tick]) -> KitState:
    """Where a kit with these stages stands after these events, oldest first."""
    state = KitState()
    for tick in ticks:
        change = _CHANGES.get(tick.kind)
        if change is not None:
            state = change(state, tick)
    return _with_current(state, stages)


def _with_current(state: KitState, stages: Sequence[StageRow]) -> KitState:
    if state.phase != "sewing":
        return state
    for stage in stages:
        unseen = stage.look and stage.name not in state.signed
        if unseen and stage.name in state.done | state.asked:
            return replace(state, current=stage.name, waiting_for_look=stage.name)
        if stage.name not in state.done:
            return replace(state, current=stage.name)
    return replace(state, phase="finished") if stages else state


def _begun(state: KitState, tick: Tick) -> KitState:
    if state.phase != "not-begun":
        return state
    return replace(state, phase="laying-out", moved_at=tick.at)


def _given(state: KitState, tick: Tick) -> KitState:
    return replace(state, phase="laying-out", reason="", moved_at=tick.at)


def _handed_in(state: KitState, tick: Tick) -> KitState:
    return replace(state, phase="handed-in", submission=tick.submission, reason="", moved_at=tick.at)


def _accepted(state: KitState, tick: Tick) -> KitState:
    return replace(state, phase="sewing", accepted=tick.submission, reason="", moved_at=tick.at)


def _sent_back(state: KitState, tick: Tick) -> KitState:
    if tick.stage:
        return replace(_without(state, tick.stage), reason=tick.text, moved_at=tick.at)
    # A change of a plan that is being sewn was refused: the one that was accepted is still good to sew by.
    phase: Phase = "sewing" if state.accepted is not None else "sent-back"
    return replace(state, phase=phase, reason=tick.text, moved_at=tick.at)


def _stage_done(state: KitState, tick: Tick) -> KitState:
    return replace(state, done=state.done | {tick.stage}, reason="", moved_at=tick.at)


def _stage_undone(state: KitState, tick: Tick) -> KitState:
    return replace(_without(state, tick.stage), moved_at=tick.at)


def _without(state: KitState, stage: str) -> KitState:
    return replace(state, done=state.done - {stage}, signed=state.signed - {stage}, asked=state.asked - {stage})


def _look_asked(state: KitState, tick: Tick) -> KitState:
    return replace(state, asked=state.asked | {tick.stage}, reason="", moved_at=tick.at)


def _signed_off(state: KitState, tick: Tick) -> KitState:
    # What comes after the look ends the stage.
    done = state.done if tick.stage in state.asked else state.done | {tick.stage}
    return replace(state, done=done, signed=state.signed | {tick.stage}, reason="", moved_at=tick.at)


def _step(state: KitState, tick: Tick) -> KitState:
    return replace(state, moved_at=tick.at, by_step=True)


def _step_undone(state: KitState, tick: Tick) -> KitState:
    # A look that was given stands; one that was only asked for waits until the step is done again.
    asked = state.asked | {tick.stage} if tick.stage in state.signed else state.asked - {tick.stage}
    return replace(state, done=state.done - {tick.stage}, asked=asked, by_step=True)


def _help_asked(state: KitState, tick: Tick) -> KitState:
    # Asking again does not lose the place in the queue.
    return replace(state, help_since=state.help_since or tick.at, help_about=tick.text or state.help_about)


def _help_over(state: KitState, tick: Tick) -> KitState:
    return replace(state, help_since=None, help_about="")


_CHANGES = {
    "layout-begun": _begun,
    "layout-given": _given,
    "handed-in": _handed_in,
    "accepted": _accepted,
    "sent-back": _sent_back,
    "stage-done": _stage_done,
    "stage-undone": _stage_undone,
    "step-done": _step,
    "step-undone": _step_undone,
    "reading-taken": _step,
    "look-asked": _look_asked,
    "signed-off": _signed_off,
    "help-asked": _help_asked,
    "help-given": _help_over,
    "help-dropped": _help_over,
}

BOARD_KINDS = tuple(_CHANGES)
"""The kinds of event that say how far a kit is; a board reads no others."""
