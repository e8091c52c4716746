"""A project's page: its circuit, revisions, sharing, and panels that other apps fill."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from projects.circuit_tables import connection_rows, part_rows
from projects.drafts import StaleDraft, last_step, last_undone, redo_next, undo_last
from projects.forms.project_file import ReplacingFileForm
from projects.forms.sharing import ShareForm
from projects.models import Project, Revision
from projects.sharing import mark_opened, share
from projects.views.common import editable, owned, seen, user_of
from projects.views.typed import typed_version

__all__ = ["project", "project_page", "redo", "replace_form", "share_project", "undo", "unshare"]


@require_safe
@login_required
def project(request: HttpRequest, project_id: int) -> HttpResponse:
    """One project."""
    project = seen(request, project_id)
    mark_opened(project, user_of(request))
    return project_page(request, project)


@require_POST
@login_required
def share_project(request: HttpRequest, project_id: int) -> HttpResponse:
    """Let a colleague see or edit it."""
    project = owned(request, project_id)
    form = ShareForm(request.POST)
    if not form.is_valid():
        return project_page(request, project, sharing=form, status=400)
    name = form.cleaned_data["name"]
    if share(project, name, form.cleaned_data["may_edit"]):
        messages.success(request, _("Shared with {name}, if there is such a user.").format(name=name))
    else:
        messages.error(request, _("It is shared with as many as it can be. Take one off the list first."))
    return redirect("projects:page", project.pk)


@require_POST
@login_required
def unshare(request: HttpRequest, project_id: int, share_id: int) -> HttpResponse:
    """Take a share back; classes that use a revision keep it."""
    project = owned(request, project_id)
    project.shares.filter(pk=share_id).delete()
    return redirect("projects:page", project.pk)


@require_POST
@login_required
def undo(request: HttpRequest, project_id: int) -> HttpResponse:
    """Take the newest edit back, and return to the page that asked."""
    return _back_or_on(request, editable(request, project_id), undo_last)


@require_POST
@login_required
def redo(request: HttpRequest, project_id: int) -> HttpResponse:
    """Do the edit again that was undone last, and return to the page that asked."""
    return _back_or_on(request, editable(request, project_id), redo_next)


def _back_or_on(request: HttpRequest, project: Project, step: Callable[[Project, int], None]) -> HttpResponse:
    version = typed_version(request.POST.get("version", ""))
    try:
        step(project, version)
    except StaleDraft:
        messages.warning(
            request, _("Nothing was done: the draft was changed on another page since. This is how it is now.")
        )
    back = request.POST.get("back", "")
    return redirect(back if back in _pages_of(project) else reverse("projects:page", args=[project.pk]))


def _pages_of(project: Project) -> list[str]:
    """Where an undo may lead back to: an address that a form sends is never trusted."""
    sections = ("circuit", "fabric", "part-types", "learners", "supplies")
    pages = [reverse("projects:section", args=[project.pk, name]) for name in sections]
    return [*pages, reverse("kits:project-stages", args=[project.pk])]


def replace_form(project: Project, version: int, *data: Any) -> ReplacingFileForm:
    """The form that puts a file in place of the draft of that version; what was sent says itself which it saw."""
    action = reverse("projects:replace", args=[project.pk])
    initial = {"version": version}
    return ReplacingFileForm(*data, initial=initial, submit=_("Put it in place of the draft"), action=action)


def project_page(
    request: HttpRequest,
    project: Project,
    *,
    form: ReplacingFileForm | None = None,
    sharing: ShareForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page, perhaps with a form that was not in order."""
    newest: Revision = project.newest()
    document = newest.read()
    user = user_of(request)
    context = {
        "project": project,
        "newest": newest,
        "step": last_step(newest),
        "undone": last_undone(newest),
        "may_change": Project.objects.open_to(user).filter(pk=project.pk).exists(),
        "owns": project.owner_id == user.pk,
        "shares": list(project.shares.all()) if project.owner_id == user.pk else [],
        "revisions": list(project.revisions.defer("document").order_by("-number")),
        "document": document,
        "parts": part_rows(document),
        "connections": connection_rows(document),
        "form": form or replace_form(project, newest.layout_version),
        "sharing": sharing or ShareForm(),
    }
    return render(request, "projects/page.html", context, status=status)
