"""What a teacher or helper says of a layout that was handed in."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit, Submission
from kits.services.access import Person
from kits.services.events import log
from kits.services.layouts import NotNow
from kits.services.plan_stages import stages_of_plan
from kits.services.reports import judge_submission
from kits.services.sewing import read_sewing
from kits.services.states import state_of_kit

__all__ = ["accept", "accept_held", "send_back"]


def accept(submission: Submission, person: Person) -> None:
    """The layout may be sewn. Its plan's stages become the kit's.

    Raises NotNow if it is not the one that waits, or if a stop stands that was not let pass.
    """
    with transaction.atomic():
        kit = _waiting(submission)
        if judge_submission(submission).stops:
            raise NotNow(_("Something must be put right first. Send it back, or let each red finding pass."))
        accept_held(kit, submission, person)


def accept_held(kit: Kit, submission: Submission, person: Person) -> None:
    """Accept without a question; call it inside a transaction that holds the kit.

    Where sewing had begun, what is sewn stays, and stages that now have something to do are open again.
    """
    log(kit, Event.Kind.ACCEPTED, person.signs, submission=submission)
    sewing = read_sewing(kit)
    assert sewing is not None  # a layout was accepted a line above
    kit.stages = stages_of_plan(sewing.progress.plan)
    kit.save(update_fields=["stages"])
    continued = sewing.followed.continued
    for stage in continued.reopened if continued is not None else ():
        if stage in sewing.state.done:
            log(kit, Event.Kind.STAGE_UNDONE, person.signs, stage=stage)


def send_back(submission: Submission, person: Person, reason: str) -> None:
    """The layout is to be changed first, and why. Raises NotNow if it is not the one that waits."""
    with transaction.atomic():
        kit = _waiting(submission)
        log(kit, Event.Kind.SENT_BACK, person.signs, submission=submission, text=reason)


def _waiting(submission: Submission) -> Kit:
    kit = Kit.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=submission.kit_id)
    state = state_of_kit(kit)
    if state.submission != submission.pk:
        raise NotNow(_("A newer layout was handed in meanwhile. Look at that one."))
    if state.phase != "handed-in":
        raise NotNow(_("This layout was decided on already. The page now shows how it stands."))
    return kit
