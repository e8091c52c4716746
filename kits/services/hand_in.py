"""Handing a layout in: a frozen copy with its report."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from kits.models import Event, Kit, Submission
from kits.services.access import Person
from kits.services.events import log
from kits.services.layouts import NotNow, why_not_changeable
from kits.services.report_store import report_json
from kits.services.reports import Judged, judge_kit
from projects.stored import document_json

__all__ = ["hand_in", "keep_submission"]


def hand_in(kit: Kit, seen_version: int, person: Person) -> Submission:
    """Freeze the kit's layout as it is saved, and tell the teacher.

    Raises NotNow if a stop stands that no teacher let pass, if the layout was saved anew since the page read
    `seen_version` (what is frozen must be what was seen), or if it is not this person's to change now.
    """
    if why := why_not_changeable(person, kit):
        raise NotNow(why)
    with transaction.atomic():
        kit = Kit.objects.select_for_update(of=("self",)).select_related("revision", "workshop").get(pk=kit.pk)
        if kit.layout_version != seen_version:
            raise NotNow(_("The plan was changed on another page. Look at it again, then hand it in."))
        judged = judge_kit(kit)
        if judged.stops:
            count = len(judged.stops)
            raise NotNow(
                ngettext(
                    "{count} thing must be put right first. It is marked on the drawing.",
                    "{count} things must be put right first. They are marked on the drawing.",
                    count,
                ).format(count=count)
            )
        return keep_submission(kit, judged, person)


def keep_submission(kit: Kit, judged: Judged, person: Person) -> Submission:
    """Store what was judged as the kit's next submission; call it inside a transaction that holds the kit."""
    number = kit.submissions.count() + 1
    submission = Submission.objects.create(
        kit=kit,
        number=number,
        document=document_json(judged.document),
        report=report_json(judged.report),
        **person.signs,
    )
    log(kit, Event.Kind.HANDED_IN, person.signs, submission=submission)
    return submission
