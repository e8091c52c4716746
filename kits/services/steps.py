"""Ticking steps one by one, and readings; what that means for the stages goes into the log as well."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit
from kits.plan.judge import Judgement, judge
from kits.plan.values import PlannedStage, Reading, Step
from kits.services.access import Person
from kits.services.events import log
from kits.services.layouts import NotNow
from kits.services.sewing import Sewing, read_sewing

__all__ = ["MOST_OHMS", "MOST_VOLTS", "keep_stages_in_step", "take_reading", "tick_step", "untick_step"]

MOST_OHMS = 1e9
MOST_VOLTS = 1000.0
"""No meter of a class shows more."""


def tick_step(kit: Kit, key: str, person: Person) -> None:
    """A step is done; ticking it twice is ticking it once.

    Raises NotNow before a layout was accepted, for an unknown step, for one out of turn, and for a look, which
    others give.
    """
    with transaction.atomic():
        found = _find(_held(kit), key)
        if key in found.sewing.progress.done:
            return
        if key == f"look:{found.stage.name}" and found.stage.look:
            raise NotNow(_("Show your teacher first. Then go on."))
        if not found.may_come_now:
            raise NotNow(_("Do the steps in order, one at a time."))
        log(kit, Event.Kind.STEP_DONE, person.signs, stage=found.stage.name, step=key, minutes=found.step.minutes)
        keep_stages_in_step(kit, person)


def untick_step(kit: Kit, key: str, person: Person) -> None:
    """A step is not done after all. A learner may not take back what was looked at; raises NotNow then."""
    with transaction.atomic():
        found = _find(_held(kit), key)
        if key not in found.sewing.progress.done:
            return
        if key == f"look:{found.stage.name}" or (person.user is None and found.looked_at):
            raise NotNow(_("Your teacher has looked at this stage. Ask them to open it again."))
        minutes = -found.step.minutes
        log(kit, Event.Kind.STEP_UNDONE, person.signs, stage=found.stage.name, step=key, minutes=minutes)


def take_reading(kit: Kit, key: str, value: float | None, person: Person) -> Judgement:
    """What a meter showed, in ohms or volts; None for open. One that is as it should be does its step.

    Raises NotNow as `tick_step` does, and for a step that takes no reading. `value` must be finite.
    """
    with transaction.atomic():
        found = _find(_held(kit), key)
        reading = _reading(found.sewing, key)
        if not found.may_come_now and key not in found.sewing.progress.done:
            raise NotNow(_("Do the steps in order, one at a time."))
        judgement = judge(reading, value)
        done = judgement.ok and key not in found.sewing.progress.done
        log(
            kit,
            Event.Kind.READING_TAKEN,
            person.signs,
            stage=found.stage.name,
            step=key,
            minutes=found.step.minutes if done else None,
            payload={"value": value},
        )
        keep_stages_in_step(kit, person)
    return judgement


def keep_stages_in_step(kit: Kit, person: Person) -> None:
    """Log the stages that the last step has ended, and the look that now comes; inside the caller's transaction."""
    sewing = read_sewing(kit)
    if sewing is None:
        return
    for stage in sewing.progress.stages_done:
        if stage not in sewing.state.done:
            log(kit, Event.Kind.STAGE_DONE, person.signs, stage=stage)
    look = sewing.progress.waiting_for_look
    if look is not None and look not in sewing.state.asked | sewing.state.done:
        log(kit, Event.Kind.LOOK_ASKED, person.signs, stage=look)


@dataclass(frozen=True)
class _Found:
    """A step of the plan by which a kit is sewn now."""

    sewing: Sewing
    stage: PlannedStage
    step: Step

    @property
    def may_come_now(self) -> bool:
        """It is the one to do, or one that is good to do and comes before it."""
        now = self.sewing.progress.now
        return now is not None and (self.step.key == now.key or self.step.optional)

    @property
    def looked_at(self) -> bool:
        keys = [step.key for step in self.stage.steps]
        look = f"look:{self.stage.name}"
        given = self.stage.name in self.sewing.progress.looked
        return given and (look not in keys or keys.index(self.step.key) < keys.index(look))


def _held(kit: Kit) -> Kit:
    """The kit, held so that two taps at once come one after the other."""
    return Kit.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=kit.pk)


def _find(kit: Kit, key: str) -> _Found:
    sewing = read_sewing(kit)
    if sewing is None or not sewing.state.sewing_begun:
        raise NotNow(_("The plan is not accepted yet. Sewing starts after that."))
    for stage in sewing.progress.plan.stages:
        for step in stage.steps:
            if step.key == key:
                return _Found(sewing, stage, step)
    raise NotNow(_("Your plan has changed. Here is the step to do now."))


def _reading(sewing: Sewing, key: str) -> Reading:
    for reading in sewing.progress.plan.readings:
        if reading.key == key:
            return reading
    raise NotNow(_("This step takes no reading."))
