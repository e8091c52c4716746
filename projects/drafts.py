"""Changing a project's draft, one edit at a time, undoing the last ones and doing them again."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth.models import User
from django.db import models, transaction

from projects.circuit.document import Document
from projects.circuit.editing import checked
from projects.models import DraftStep, Project, Revision
from projects.stored import document_from, document_json

__all__ = [
    "KEPT_STEPS",
    "StaleDraft",
    "change_draft",
    "last_step",
    "last_undone",
    "redo_next",
    "steps_since",
    "undo_last",
]

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
        held.draft_steps.filter(undone=True).delete()  # what was undone is not on the way to this edit
        DraftStep.objects.create(
            project=held,
            number=draft.number,
            after_version=draft.layout_version,
            said=said[:300],
            other=document_json(before),
            user=user,
        )
        _forget_old(held)
        _retitle(held, after)
    return draft.layout_version


def last_step(newest: Revision) -> DraftStep | None:
    """The edit that can be undone now: the newest of a draft, unless the draft was changed otherwise since."""
    step = _steps_at(newest, undone=False).order_by("-pk").first()
    return step if newest.is_draft else None


def last_undone(newest: Revision) -> DraftStep | None:
    """The edit that can be done again now: the last one undone, unless the draft was changed otherwise since."""
    step = _steps_at(newest, undone=True).order_by("pk").first()
    return step if newest.is_draft else None


def _steps_at(newest: Revision, *, undone: bool) -> models.QuerySet[DraftStep]:
    steps = DraftStep.objects.filter(project=newest.project_id, number=newest.number, undone=undone).defer("other")
    return steps.filter(after_version=newest.layout_version)


def steps_since(project: Project, version: int) -> list[str]:
    """What edits did since that version, oldest first."""
    steps = project.draft_steps.filter(after_version__gt=version, undone=False)
    return list(steps.order_by("pk").values_list("said", flat=True))


def undo_last(project: Project, seen_version: int) -> None:
    """Take the newest edit back; nothing where there is none. Raises StaleDraft as `change_draft` does."""
    _swap(project, seen_version, last_step)


def redo_next(project: Project, seen_version: int) -> None:
    """Do the edit again that was undone last; nothing where there is none. Raises StaleDraft as `change_draft` does."""
    _swap(project, seen_version, last_undone)


def _swap(project: Project, seen_version: int, which: Callable[[Revision], DraftStep | None]) -> None:
    """Put the document that the step holds into the draft, and the draft's into the step."""
    with transaction.atomic():
        held = Project.objects.select_for_update().get(pk=project.pk)
        newest = held.newest()
        if newest.layout_version != seen_version:
            raise StaleDraft(newest.layout_version)
        step = which(newest)
        if step is None:
            return
        document = document_from(step.other)
        step.other = newest.document
        step.undone = not step.undone
        newest.put(document)
        newest.save()
        step.save()
        # The steps on both sides of where the draft is now follow its version.
        steps = held.draft_steps.filter(number=newest.number)
        done, undone = steps.filter(undone=False).order_by("-pk"), steps.filter(undone=True).order_by("pk")
        beside = [*done.values_list("pk", flat=True)[:1], *undone.values_list("pk", flat=True)[:1]]
        held.draft_steps.filter(pk__in=beside).update(after_version=newest.layout_version)
        _retitle(held, document)


def _forget_old(project: Project) -> None:
    old = project.draft_steps.order_by("-pk").values_list("pk", flat=True)[KEPT_STEPS:]
    project.draft_steps.filter(pk__in=list(old)).delete()


def _retitle(project: Project, document: Document) -> None:
    if project.title != document.project.title:
        project.title = document.project.title
        project.save(update_fields=["title"])
