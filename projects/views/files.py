"""Import with a look at what it brings, putting a file in place of a draft, export."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import mark_safe
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.editing.outlines import box_of
from projects.circuit.fabric import lay_out
from projects.circuit.project_file import write
from projects.circuit_tables import connection_rows, part_rows
from projects.drafts import StaleDraft, change_draft, steps_since
from projects.drawing import Style, draw_all
from projects.forms.project_file import KeptFileForm, ProjectFileForm
from projects.importing import import_project
from projects.said import say
from projects.views.common import editable, seen, user_of
from projects.views.page import project_page, replace_form

__all__ = ["export", "import_file", "replace"]


@require_http_methods(["GET", "HEAD", "POST"])
@login_required
def import_file(request: HttpRequest) -> HttpResponse:
    """A project file is shown, and becomes a new project once that was looked at."""
    if "document" in request.POST:
        return _keep(request)
    form = ProjectFileForm(request.POST, request.FILES) if request.method == "POST" else ProjectFileForm()
    if form.is_valid():
        return _preview(request, form.cleaned_data["file"])
    return render(request, "projects/import.html", {"form": form}, status=400 if form.is_bound else 200)


def _preview(request: HttpRequest, document: Document) -> HttpResponse:
    project = document.project
    drawings = draw_all(lay_out(document), style=Style(say=say))
    context = {
        "document": document,
        "kept": KeptFileForm(initial={"document": write(document).decode()}),
        # The drawing is built as an element tree that escapes every text; nothing in it is raw.
        "drawings": [(name, mark_safe(svg)) for name, svg in drawings.items()],
        "pieces": [(piece, *_size(piece.outline)) for piece in project.pieces],
        "parts": part_rows(document),
        "connections": connection_rows(document),
        "own_types": [(own, own.type in catalogue()) for own in project.part_types],
    }
    return render(request, "projects/import_preview.html", context)


def _size(outline: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    left, top, right, bottom = box_of(outline)
    return right - left, bottom - top


def _keep(request: HttpRequest) -> HttpResponse:
    """Read again what the page held: between two requests anything may have happened to it."""
    form = KeptFileForm(request.POST)
    if not form.is_valid():
        refused = ProjectFileForm()
        context = {"form": refused, "errors": form.errors["document"]}
        return render(request, "projects/import.html", context, status=400)
    project = import_project(user_of(request), form.cleaned_data["document"])
    messages.success(request, _("Imported as a draft. Look at the report, then publish it for your classes."))
    return redirect("projects:page", project.pk)


@require_POST
@login_required
def replace(request: HttpRequest, project_id: int) -> HttpResponse:
    """A project file becomes the draft of this project; that can be undone."""
    project = editable(request, project_id)
    form = replace_form(project, 0, request.POST, request.FILES)
    if not form.is_valid():
        return project_page(request, project, form=form, status=400)
    document = form.cleaned_data["file"]
    version = form.cleaned_data["version"]
    try:
        change_draft(project, version, lambda _before: document, _("took a file over"), user_of(request))
    except StaleDraft:
        words = _("Not taken over: the draft was changed on another page since you opened this one.")
        if steps := steps_since(project, version):
            words += " " + _("New are: {changes}.").format(changes=", ".join(steps))
        messages.warning(request, words + " " + _("Look at it, then choose the file again if you still wish."))
        return project_page(request, project, status=409)
    messages.success(request, _("The draft is now what the file says. Published revisions stay as they are."))
    return redirect("projects:page", project.pk)


@require_safe
@login_required
def export(request: HttpRequest, project_id: int, number: int) -> HttpResponse:
    """A revision as a project file to download."""
    project = seen(request, project_id)
    revision = project.revisions.filter(number=number).first()
    if revision is None:
        raise Http404
    name = f"{slugify(project.title) or 'project'}-{number}.json"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(write(revision.read()), content_type="application/json", headers=headers)
