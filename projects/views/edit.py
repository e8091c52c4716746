"""The pages on which a draft is edited, and the edits themselves."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from projects.circuit.refusal import Refusal
from projects.drafts import StaleDraft, change_draft, steps_since
from projects.edits import EDITS
from projects.forms.edit import EditForm
from projects.models import Project
from projects.said import say_refusal
from projects.sections import SECTIONS, Editing
from projects.views.common import editable, user_of
from projects.views.part_types import render_part_type

__all__ = ["edit", "render_section", "section"]


@require_safe
@login_required
def section(request: HttpRequest, project_id: int, section: str) -> HttpResponse:
    """One page of the editor."""
    project = editable(request, project_id)
    if section not in SECTIONS:
        raise Http404
    return render_section(request, project, section)


@require_POST
@login_required
def edit(request: HttpRequest, project_id: int, what: str) -> HttpResponse:
    """One edit; where it is refused or comes too late, all that was typed is shown again."""
    project = editable(request, project_id)
    if what not in EDITS:
        raise Http404
    form = EDITS[what](project, project.newest().read(), request.POST, request.FILES, key="failed")
    if not form.is_valid():
        return _failed(request, form)
    try:
        change_draft(project, form.cleaned_data["version"], form.change, form.said(), user_of(request))
    except Refusal as refusal:
        form.add_error(None, say_refusal(refusal))
        return _failed(request, form)
    except StaleDraft as stale:
        return _conflict(request, form, stale)
    return redirect("projects:section", project.pk, form.section)


def render_section(
    request: HttpRequest, project: Project, name: str, *, failed: EditForm | None = None, status: int = 200
) -> HttpResponse:
    """A page of the editor; `failed` is an edit that was refused, with all that was typed."""
    editing = Editing.of(project)
    section = SECTIONS[name]
    context = {
        "project": project,
        "section": name,
        "title": section.title,
        "version": editing.version,
        "step": editing.step,
        "undone": editing.undone,
        "failed": failed,
        **section.context(editing),
    }
    return render(request, section.template, context, status=status)


def _failed(request: HttpRequest, form: EditForm) -> HttpResponse:
    if form.what == "part-type":
        return render_part_type(request, form, status=400)
    return render_section(request, form.project, form.section, failed=form, status=400)


def _conflict(request: HttpRequest, form: EditForm, stale: StaleDraft) -> HttpResponse:
    """Someone else was faster: the edit may be made on top of theirs, or dropped."""
    typed: list[tuple[str, Any]] = [
        (name, value)
        for name, values in request.POST.lists()
        if name not in ("version", "csrfmiddlewaretoken")
        for value in values
    ]
    context = {
        "project": form.project,
        "form": form,
        "section": form.section,
        "said": form.said(),
        "version": stale.version,
        "steps": steps_since(form.project, form.cleaned_data["version"]),
        "typed": typed,
        "lost_file": bool(request.FILES),
    }
    return render(request, "projects/conflict.html", context, status=409)
