"""Ticking stages, and the looks that some of them end with."""

from __future__ import annotations

import math
from itertools import takewhile

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit
from kits.progress import KitState
from kits.services.access import Person
from kits.services.events import log
from kits.services.layouts import NotNow
from kits.services.sewing import read_sewing
from kits.services.states import stage_rows, state_of_kit
from kits.services.steps import keep_stages_in_step

__all__ = ["send_stage_back", "sign_off_stage", "tick_stage", "untick_stage"]


def tick_stage(kit: Kit, stage: str, person: Person) -> None:
    """A stage is sewn. A learner ticks the one they are at; a teacher any, which counts as the look too.

    Where there is more to do after its look, a learner's first tick asks for the look, and the second ends the stage.
    Raises NotNow before a layout was accepted, for an unknown stage, and for a learner who is elsewhere.
    """
    with transaction.atomic():
        state = _sewing(kit, stage)
        if person.user is not None:
            minutes = _minutes(kit, state, stage)
            if state.by_step or stage in state.asked:  # else a sign-off would leave what comes after the look
                log(kit, Event.Kind.STAGE_DONE, person.signs, stage=stage, minutes=minutes)
                minutes = None
            log(kit, Event.Kind.SIGNED_OFF, person.signs, stage=stage, minutes=minutes)
            return
        if state.waiting_for_look is not None:
            raise NotNow(_("Show your teacher first. Then go on."))
        if state.current != stage:
            raise NotNow(_("Do the stages in order, one at a time."))
        if stage not in state.signed and any(row.goes_on for row in stage_rows(kit) if row.name == stage):
            log(kit, Event.Kind.LOOK_ASKED, person.signs, stage=stage, minutes=_left(kit, stage, until_look=True))
        else:
            log(kit, Event.Kind.STAGE_DONE, person.signs, stage=stage, minutes=_minutes(kit, state, stage))


def untick_stage(kit: Kit, stage: str, person: Person) -> None:
    """A stage is not done after all. A learner may take back what nobody has looked at yet."""
    with transaction.atomic():
        state = _sewing(kit, stage)
        if stage not in state.done | state.asked:
            return
        if person.user is None and stage in state.signed:
            raise NotNow(_("Your teacher has looked at this stage. Ask them to open it again."))
        minutes = None if state.by_step else _left(kit, stage) - _planned(kit, stage)
        log(kit, Event.Kind.STAGE_UNDONE, person.signs, stage=stage, minutes=minutes)


def sign_off_stage(kit: Kit, stage: str, person: Person) -> None:
    """A teacher or helper has looked at a stage that waits for it, and it is good."""
    with transaction.atomic():
        _waiting(kit, stage)
        log(kit, Event.Kind.SIGNED_OFF, person.signs, stage=stage)
        keep_stages_in_step(kit, person)


def send_stage_back(kit: Kit, stage: str, person: Person, reason: str) -> None:
    """A teacher or helper has looked at a stage that waits for it, and something is to be put right."""
    with transaction.atomic():
        _waiting(kit, stage)
        log(kit, Event.Kind.SENT_BACK, person.signs, stage=stage, text=reason)


def _sewing(kit: Kit, stage: str) -> KitState:
    state = state_of_kit(kit)
    if not state.sewing_begun:
        raise NotNow(_("The plan is not accepted yet. Sewing starts after that."))
    if stage not in {row.name for row in stage_rows(kit)}:
        raise NotNow(_("This kit has no such stage any more. Load the page again."))
    return state


def _minutes(kit: Kit, state: KitState, stage: str) -> float | None:
    """Planned minutes that ticking the whole stage gets done; None where it was done before."""
    if stage in state.done:
        return None
    if not state.by_step and stage not in state.asked:
        return _planned(kit, stage)
    return _left(kit, stage)


def _left(kit: Kit, stage: str, *, until_look: bool = False) -> float:
    """Planned minutes of the steps of a stage that are not done yet; of those before its look alone."""
    sewing = read_sewing(kit)
    left = [step for planned, step in sewing.progress.left if planned.name == stage] if sewing is not None else []
    if until_look:
        left = list(takewhile(lambda step: step.key != f"look:{stage}", left))
    return math.fsum(step.minutes for step in left)


def _planned(kit: Kit, stage: str) -> float:
    return float(next((row.get("minutes", 0.0) for row in kit.stages if row["name"] == stage), 0.0))


def _waiting(kit: Kit, stage: str) -> None:
    if _sewing(kit, stage).waiting_for_look != stage:
        raise NotNow(_("This stage does not wait for a look. The page now shows how it stands."))
