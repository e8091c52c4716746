"""Keeping a layout: of a kit, and of a project's example."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from kits.models import Event, Kit, Submission
from kits.services.access import Person
from kits.services.events import log
from kits.services.states import state_of_kit
from projects.circuit.document import Document
from projects.circuit.layout import Layout
from projects.models import Project
from projects.stored import layout_from, layout_json

__all__ = ["NotNow", "Stale", "document_to_sew", "save_example_layout", "save_layout", "why_not_changeable"]


class Stale(Exception):
    """The layout was saved elsewhere since this page last read it; nothing was stored.

    `version` and `layout` are what is stored now.
    """

    def __init__(self, version: int, layout: Layout) -> None:
        super().__init__(f"stored version is {version}")
        self.version = version
        self.layout = layout


class NotNow(Exception):
    """Something that is allowed, but not at this point; the message says why and what to do."""


def why_not_changeable(person: Person, kit: Kit) -> str:
    """Why this person may not change the kit's layout now; empty if they may. `kit` came from `kit_for`."""
    if person.user is not None:
        return ""
    if kit.read().project.learner_may == "nothing":
        return _("This plan is fixed. Your teacher has made it.")
    if state_of_kit(kit).sewing_begun:
        return _("You are sewing this plan now. To change it, ask your teacher.")
    return ""


def document_to_sew(kit: Kit) -> Document:
    """What is sewn by: the accepted layout once sewing has begun, until then the layout as it is saved."""
    state = state_of_kit(kit)
    if state.sewing_begun:
        return Submission.objects.get(pk=state.accepted or 0, kit=kit).read()
    return kit.read()


def save_layout(kit: Kit, layout: Layout, seen_version: int, person: Person) -> int:
    """Store a kit's layout and return its new version.

    `layout` must fit the kit's circuit: it came from `project_file.read` of the whole document.
    `seen_version` is the version that the page last read or saved.
    Raises Stale if another page has saved since, NotNow if this person may not change it now.
    """
    if why := why_not_changeable(person, kit):
        raise NotNow(why)
    with transaction.atomic():
        stored = Kit.objects.select_for_update().get(pk=kit.pk)
        if stored.layout_version != seen_version:
            raise Stale(stored.layout_version, layout_from(stored.layout))
        stored.layout = layout_json(layout)
        stored.layout_version += 1
        stored.layout_saved_at = timezone.now()
        stored.save(update_fields=["layout", "layout_version", "layout_saved_at"])
        if seen_version == 0:
            log(stored, Event.Kind.LAYOUT_BEGUN, person.signs)
    return stored.layout_version


def save_example_layout(project: Project, layout: Layout, seen_version: int) -> int:
    """Store the example layout in the project's draft (made if there is none) and return its new version.

    `project` came from `project_for`. Raises Stale if another page has saved since.
    """
    with transaction.atomic():
        Project.objects.select_for_update().get(pk=project.pk)
        newest = project.newest()
        if newest.layout_version != seen_version:
            raise Stale(newest.layout_version, newest.read().layout)
        draft = project.draft()
        draft.put_layout(layout)
        draft.save()
    return draft.layout_version
