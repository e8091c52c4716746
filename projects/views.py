"""The list of projects, a project's page, import and export."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.contrib.auth.models import User
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.circuit.project_file import write
from projects.circuit_tables import connection_rows, part_rows
from projects.forms.project_file import ProjectFileForm
from projects.importing import import_project, replace_draft
from projects.models import Project, Revision

__all__ = ["export", "import_file", "project", "projects", "replace"]

PER_PAGE = 20


def _project_of(request: HttpRequest, project_id: int) -> Project:
    """Fetched through the user's own rights; anything else is not there."""
    return get_object_or_404(Project.objects.open_to(request.user), pk=project_id)


@require_safe
@login_required
def projects(request: HttpRequest) -> HttpResponse:
    """All projects of this user."""
    published = Count("revisions", filter=Q(revisions__published_at__isnull=False))
    found = Project.objects.open_to(request.user).annotate(published=published).order_by("title", "pk")
    page = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "projects/list.html", {"page": page})


@require_safe
@login_required
def project(request: HttpRequest, project_id: int) -> HttpResponse:
    """One project: its circuit, revisions, and panels that other apps fill."""
    project = _project_of(request, project_id)
    return _page(request, project, _replace_form(project))


@require_http_methods(["GET", "HEAD", "POST"])
@login_required
def import_file(request: HttpRequest) -> HttpResponse:
    """A project file becomes a new project."""
    form = ProjectFileForm(request.POST, request.FILES) if request.method == "POST" else ProjectFileForm()
    if form.is_valid():
        assert isinstance(request.user, User)
        project = import_project(request.user, form.cleaned_data["file"])
        messages.success(request, _("Imported as a draft. Look at the report, then publish it for your classes."))
        return redirect("projects:page", project.pk)
    return render(request, "projects/import.html", {"form": form}, status=400 if form.is_bound else 200)


@require_POST
@login_required
def replace(request: HttpRequest, project_id: int) -> HttpResponse:
    """A project file becomes the draft of this project."""
    project = _project_of(request, project_id)
    form = _replace_form(project, request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, project, form, status=400)
    replace_draft(project, form.cleaned_data["file"])
    messages.success(request, _("The draft is now what the file says. Published revisions stay as they are."))
    return redirect("projects:page", project.pk)


@require_safe
@login_required
def export(request: HttpRequest, project_id: int, number: int) -> HttpResponse:
    """A revision as a project file to download."""
    project = _project_of(request, project_id)
    revision = project.revisions.filter(number=number).first()
    if revision is None:
        raise Http404
    name = f"{slugify(project.title) or 'project'}-{number}.json"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(write(revision.read()), content_type="application/json", headers=headers)


def _replace_form(project: Project, *data: Any) -> ProjectFileForm:
    action = reverse("projects:replace", args=[project.pk])
    return ProjectFileForm(*data, submit=_("Put it in place of the draft"), action=action)


def _page(request: HttpRequest, project: Project, form: ProjectFileForm, status: int = 200) -> HttpResponse:
    revisions = list(project.revisions.defer("document").order_by("-number"))
    newest: Revision = project.newest()
    document = newest.read()
    context = {
        "project": project,
        "newest": newest,
        "revisions": revisions,
        "document": document,
        "parts": part_rows(document),
        "connections": connection_rows(document),
        "form": form,
    }
    return render(request, "projects/page.html", context, status=status)
