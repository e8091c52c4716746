"""Moving the kits of a workshop to a newer revision of their project, losing no learner's work."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit, Workshop
from kits.progress import KitState
from kits.services.access import Person
from kits.services.events import log
from kits.services.plan_stages import planned_stages
from kits.services.states import states_of_kits
from projects.circuit.document import Document
from projects.circuit.editing import checked
from projects.circuit.refusal import Refusal
from projects.circuit.text import Message, msg
from projects.circuit.variation import differences
from projects.models import Project, Revision
from projects.said import say
from projects.stored import layout_from

__all__ = ["KitMove", "Move", "move_kits", "moves_of"]


@dataclass(frozen=True)
class KitMove:
    """What a move means for one kit: why it stays, empty if it moves; whether it has a layout of its own to keep."""

    kit: Kit
    stays: str
    has_layout: bool


@dataclass(frozen=True)
class Move:
    """From one revision of a project to a newer one: what changes, and for which kits."""

    project: Project
    old: Revision
    new: Revision
    changes: tuple[Message, ...]
    kits: tuple[KitMove, ...]

    @property
    def moving(self) -> tuple[Kit, ...]:
        return tuple(one.kit for one in self.kits if not one.stays)


def moves_of(workshop: Workshop) -> list[Move]:
    """Every move that is open to kits of the workshop: to the newest published revision of what they make.

    A project that was shared and is so no longer offers none: its kits keep the revision that they have.
    """
    open_projects = set(Project.objects.seen_by(workshop.owner).values_list("pk", flat=True))
    kits = list(workshop.kits.select_related("revision__project").order_by("number"))
    states = states_of_kits(kits)
    found = []
    for old in dict.fromkeys(kit.revision for kit in kits):
        new = old.project.revisions.published().latest("number")
        if old.project_id not in open_projects or new.number <= old.number:
            continue
        before, after = old.read(), new.read()
        here = (kit for kit in kits if kit.revision_id == old.pk)
        rows = tuple(KitMove(kit, why_stays(kit, states[kit.pk], after), bool(kit.layout_version)) for kit in here)
        found.append(Move(old.project, old, new, _changes(before, after), rows))
    return found


def move_kits(workshop: Workshop, new: Revision, wanted: Collection[int], person: Person) -> tuple[int, ...]:
    """Move the kits of those ids to the revision; numbers of those that moved.

    Each keeps its layout, which was read with the new circuit first; whoever may not move now stays, as
    `why_stays` says. The layout's version goes up, so that a page with the old circuit does not save over it.
    """
    document = new.read()
    moved = []
    with transaction.atomic():
        held = workshop.kits.select_for_update(of=("self",)).select_related("revision")
        kits = list(
            held.filter(pk__in=wanted, revision__project_id=new.project_id, revision__number__lt=new.number).order_by(
                "number"
            )
        )
        states = states_of_kits(kits)
        for kit in kits:
            if not why_stays(kit, states[kit.pk], document):
                _move(kit, new, document, person)
                moved.append(kit.number)
    return tuple(moved)


def why_stays(kit: Kit, state: KitState, new: Document) -> str:
    """Why this kit cannot move without losing something; empty if it can."""
    if state.sewing_begun:
        return _("It is being sewn by the plan that was accepted.")
    if state.phase == "handed-in":
        return _("Its plan waits for your look. Answer that first.")
    if kit.document is not None:
        return _("It has a circuit of its own.")
    try:
        checked(new.with_layout(layout_from(kit.layout)))
    except Refusal as refusal:
        return _("Its plan would lose something: {what}.").format(what=say(refusal.wrong))
    return ""


def _move(kit: Kit, new: Revision, document: Document, person: Person) -> None:
    kit.revision = new
    kit.stages = planned_stages(document.with_layout(layout_from(kit.layout)) if kit.layout_version else document)
    kit.layout_version += 1 if kit.layout_version else 0
    kit.save(update_fields=["revision", "stages", "layout_version"])
    words = _("Moved to revision {number}").format(number=new.number)
    log(kit, Event.Kind.NOTE, person.signs, text=words)


def _changes(before: Document, after: Document) -> tuple[Message, ...]:
    found = differences(before.project, after.project)
    words = [one.text for one in found]
    if before.project.stages != after.project.stages and all(one.kind != "stages" for one in found):
        words.append(msg("the stages sew other lines"))
    if words and before.layout != after.layout:
        words.append(msg("another example layout"))
    return tuple(words)
