"""“I sewed it differently”: what is truly sewn, whether it may stay, and a new layout that says so."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from checks.findings import Finding, Report
from kits.models import Event, Kit, Submission
from kits.plan.differently import check_sewn, sewn_differently
from kits.plan.progress import lines_sewn
from kits.services.access import Person
from kits.services.events import log
from kits.services.hand_in import keep_submission
from kits.services.layouts import NotNow
from kits.services.reports import judge
from kits.services.sewing import Sewing, read_sewing
from projects.circuit.document import Document
from projects.stored import layout_json

__all__ = ["Otherwise", "Resewn", "keep_otherwise", "lines_at_hand", "look_at", "sew_again"]


@dataclass(frozen=True)
class Resewn:
    """A line as it was really sewn: its ends, and its bends in mm from the left and top of its piece."""

    line: str
    start: str
    end: str
    via: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Otherwise:
    """The layout with the line redrawn, and what is wrong with what is sewn of it."""

    document: Document
    report: Report

    @property
    def stops(self) -> tuple[Finding, ...]:
        return tuple(one for one in self.report.findings if one.level == "stop")

    @property
    def may_stay(self) -> bool:
        """Nothing that is sewn is wrong; what is still to sew is looked at by the teacher."""
        return self.report.complete and not self.stops


def lines_at_hand(sewing: Sewing) -> tuple[str, ...]:
    """Lines that are sewn, or being sewn now, in the order of the layout."""
    progress = sewing.progress
    whole, partly = lines_sewn(progress.plan, progress.done, progress.kept)
    now = progress.now.line if progress.now is not None else None
    return tuple(one.name for one in sewing.document.layout.lines if one.name in whole | partly or one.name == now)


def look_at(sewing: Sewing, resewn: Resewn) -> Otherwise:
    """Check what is truly sewn. Raises Refusal for ends or bends that cannot be, NotNow for a line not begun."""
    if resewn.line not in lines_at_hand(sewing):
        raise NotNow(_("This line is not sewn yet."))
    document = sewn_differently(sewing.document, resewn.line, resewn.via, start=resewn.start, end=resewn.end)
    return Otherwise(document, check_sewn(document, {*sewing.progress.lines_done, resewn.line}))


def keep_otherwise(kit: Kit, resewn: Resewn, person: Person) -> Submission:
    """The plan becomes what was sewn, and is handed in: a teacher looks, then the rest is sewn by it.

    Raises as `look_at`, and NotNow where what is sewn is wrong.
    """
    with transaction.atomic():
        kit = Kit.objects.select_for_update(of=("self",)).select_related("revision", "workshop").get(pk=kit.pk)
        sewing = _begun(kit)
        otherwise = look_at(sewing, resewn)
        if not otherwise.may_stay:
            raise NotNow(_("This must come out first. Your thread would touch, or not join, what it should."))
        _all_sewn(kit, sewing, resewn.line, person)
        kit.layout = layout_json(otherwise.document.layout)
        kit.layout_version += 1
        kit.save(update_fields=["layout", "layout_version"])
        submission = keep_submission(kit, judge(otherwise.document), person)
        payload = {"lines": [resewn.line]}
        log(kit, Event.Kind.SEWN_OTHERWISE, person.signs, submission=submission, payload=payload)
    return submission


def sew_again(kit: Kit, line: str, person: Person) -> None:
    """The line is unpicked: it is to be sewn as the plan says. Raises NotNow before sewing has begun."""
    with transaction.atomic():
        kit = Kit.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=kit.pk)
        sewing = _begun(kit)
        for stage in sewing.progress.plan.stages:
            for step in stage.steps:
                if step.line == line and step.action == "sew" and step.key in sewing.progress.done:
                    minutes = -step.minutes
                    log(kit, Event.Kind.STEP_UNDONE, person.signs, stage=stage.name, step=step.key, minutes=minutes)


def _begun(kit: Kit) -> Sewing:
    sewing = read_sewing(kit)
    if sewing is None or not sewing.state.sewing_begun:
        raise NotNow(_("The plan is not accepted yet. Sewing starts after that."))
    return sewing


def _all_sewn(kit: Kit, sewing: Sewing, line: str, person: Person) -> None:
    """Log that the line is sewn: how, the new layout says."""
    for stage in sewing.progress.plan.stages:
        for step in stage.steps:
            if step.line == line and step.action == "sew" and step.key not in sewing.progress.done:
                log(kit, Event.Kind.STEP_DONE, person.signs, stage=stage.name, step=step.key, minutes=step.minutes)
