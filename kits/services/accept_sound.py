"""Accepting many layouts at once: those that nothing holds back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction

from kits.models import Kit, Submission, Workshop
from kits.services.access import Person
from kits.services.decide import accept_held
from kits.services.hand_in import keep_submission
from kits.services.reports import judge_kit, judge_submission
from kits.services.states import states_of_kits

__all__ = ["Accepted", "accept_sound"]


@dataclass(frozen=True)
class Accepted:
    """Numbers of the kits whose layout was accepted, that something holds back, and that have none to accept."""

    accepted: tuple[int, ...]
    held_back: tuple[int, ...]
    nothing: tuple[int, ...]


def accept_sound(workshop: Workshop, kits: Iterable[Kit], person: Person) -> Accepted:
    """Accept the layout of each kit if its report is complete and no stop stands.

    What was handed in is judged as it was handed in. A layout that was not (paper mode: the example was
    given, or the teacher entered it) is handed in by the teacher on the way.
    """
    accepted, held_back, nothing = [], [], []
    with transaction.atomic():
        chosen = workshop.kits.select_for_update(of=("self",)).select_related("revision", "workshop")
        held = list(chosen.filter(pk__in=[kit.pk for kit in kits]).order_by("number"))
        states = states_of_kits(held)
        for kit in held:
            phase = states[kit.pk].phase
            if phase not in ("laying-out", "handed-in"):
                nothing.append(kit.number)
            elif _accept_one(kit, states[kit.pk].submission if phase == "handed-in" else None, person):
                accepted.append(kit.number)
            else:
                held_back.append(kit.number)
    return Accepted(tuple(accepted), tuple(held_back), tuple(nothing))


def _accept_one(kit: Kit, submission_id: int | None, person: Person) -> bool:
    if submission_id is not None:
        submission = Submission.objects.select_related("kit").get(pk=submission_id)
        if judge_submission(submission).sound:
            accept_held(kit, submission, person)
            return True
        return False
    judged = judge_kit(kit)
    if judged.sound:
        accept_held(kit, keep_submission(kit, judged, person), person)
    return judged.sound
