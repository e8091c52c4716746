"""A kit's own circuit: changed by its learners as far as the teacher allows, and by the teacher at will."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Kit
from kits.services.access import Person
from kits.services.layouts import NotNow, why_not_changeable
from kits.services.plan_stages import planned_stages
from kits.services.states import state_of_kit
from projects.circuit.document import Document
from projects.circuit.editing import checked
from projects.circuit.layout import Layout
from projects.circuit.refusal import Refusal
from projects.circuit.variation import Difference, differences, not_allowed
from projects.said import say
from projects.stored import document_json, layout_json

__all__ = ["own_differences", "vary_kit", "why_not_variable"]


def own_differences(kit: Kit) -> Sequence[Difference]:
    """What is otherwise in the kit's circuit than in its project; nothing while it has none of its own."""
    return differences(kit.revision.read().project, kit.read().project) if kit.document is not None else ()


def why_not_variable(person: Person, kit: Kit) -> str:
    """Why this person may not change the kit's circuit now; empty if they may."""
    if why := why_not_changeable(person, kit):
        return why
    if person.user is None and kit.revision.read().project.learner_may not in ("choose", "all"):
        return _("This circuit is fixed. You can move the parts and draw the lines.")
    return ""


def vary_kit(kit: Kit, seen_version: int, change: Callable[[Document], Document], person: Person) -> None:
    """Keep a changed circuit for the kit, with its layout; its stages follow.

    Raises NotNow where it is not this person's to change, where the teacher does not allow it, where it makes no
    circuit that a project file could hold, and where the plan was saved elsewhere since the page read
    `seen_version`. A circuit that is the project's own again is kept as none.
    """
    if why := why_not_variable(person, kit):
        raise NotNow(why)
    with transaction.atomic():
        held = Kit.objects.select_for_update(of=("self",)).select_related("revision").get(pk=kit.pk)
        if held.layout_version != seen_version:
            raise NotNow(_("The plan was changed on another page. Look at it again, then do it once more."))
        original = held.revision.read()
        try:
            own = checked(change(held.read()))
        except Refusal as refusal:
            raise NotNow(_("That does not work: {why}.").format(why=say(refusal.wrong))) from refusal
        if person.user is None and (refused := not_allowed(original.project, own.project)):
            words = "; ".join(say(one.text) for one in refused)
            raise NotNow(_("Your teacher does not allow that: {what}.").format(what=words))
        _store(held, original, own)


def _store(kit: Kit, original: Document, own: Document) -> None:
    same = not differences(original.project, own.project)
    # The layout is kept beside the circuit, as for every kit.
    kit.document = None if same else document_json(own.with_layout(Layout()))
    kit.layout = layout_json(own.layout)
    kit.layout_version += 1
    if not state_of_kit(kit).sewing_begun:  # what is sewn by is the accepted plan, and its stages with it
        kit.stages = planned_stages(own)
    kit.save(update_fields=["document", "layout", "stages", "layout_version"])
