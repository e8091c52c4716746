"""Changing a project's draft, one edit at a time, and undoing the last ones."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth.models import User
from django.db import transaction

from projects.circuit.document import Document
from projects.circuit.editing import checked
from projects.models import DraftStep, Project, Revision
from projects.stored import document_from, document_json

__all__ = ["KEPT_STEPS", "StaleDraft", "change_draft", "last_step", "steps_since", "undo_last"]

KEPT_STEPS = 50


class StaleDraft(Exception):
    """The draft was changed elsewhere since the page read it; nothing was stored. `version` is the one now."""

    def __init__(self, version: int) -> None:
        super().__init__(f"the draft is at version {version}")
        self.version = version


def change_draft(
    project: Project, seen_version: int, change: Callable[[Document], Document], said: str, user: User
) -> int:
    """Put an edit into the draft (made from the newest revision if there is none) and return its version.

    Raises Refusal where the edit leads to what a project file may not hold, StaleDraft if the draft is no longer at
    `seen_version`. An edit that changes nothing is not kept.
    """
    with transaction.atomic():
        held = Project.objects.select_for_update().get(pk=project.pk)
        newest = held.newest()
        if newest.layout_version != seen_version:
            raise StaleDraft(newest.layout_version)
        before = newest.read()
        after = checked(change(before))
        if after == before:
            return seen_version
        draft = held.draft()
        draft.put(after)
        draft.save()
        DraftStep.objects.create(
            project=held,
            number=draft.number,
            after_version=draft.layout_version,
            said=said[:300],
            before=document_json(before),
            user=user,
        )
        _forget_old(held)
        _retitle(held, after)
    return draft.layout_version


def last_step(newest: Revision) -> DraftStep | None:
    """The edit that can be undone now: the newest of a draft, unless the draft was changed otherwise since."""
    steps = DraftStep.objects.filter(project=newest.project_id, number=newest.number).defer("before")
    step = steps.filter(after_version=newest.layout_version).order_by("-pk").first()
    return step if newest.is_draft else None


def steps_since(project: Project, version: int) -> list[str]:
    """What edits did since that version, oldest first."""
    return list(project.draft_steps.filter(after_version__gt=version).order_by("pk").values_list("said", flat=True))


def undo_last(project: Project, seen_version: int) -> None:
    """Take the newest edit back; nothing where there is none. Raises StaleDraft as `change_draft` does."""
    with transaction.atomic():
        held = Project.objects.select_for_update().get(pk=project.pk)
        newest = held.newest()
        if newest.layout_version != seen_version:
            raise StaleDraft(newest.layout_version)
        step = last_step(newest)
        if step is None:
            return
        before = document_from(step.before)
        newest.put(before)
        newest.save()
        step.delete()
        # The edit before it is now the newest, and follows the draft's version.
        earlier = held.draft_steps.filter(number=newest.number).order_by("-pk").values("pk")[:1]
        held.draft_steps.filter(pk__in=list(earlier.values_list("pk", flat=True))).update(
            after_version=newest.layout_version
        )
        _retitle(held, before)


def _forget_old(project: Project) -> None:
    old = project.draft_steps.order_by("-pk").values_list("pk", flat=True)[KEPT_STEPS:]
    project.draft_steps.filter(pk__in=list(old)).delete()


def _retitle(project: Project, document: Document) -> None:
    if project.title != document.project.title:
        project.title = document.project.title
        project.save(update_fields=["title"])
