"""A part type of the project's own by form, with a drawing that follows what is typed."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_POST, require_safe

from projects.circuit.document import Document
from projects.circuit.editing.part_types import fresh_type, resized
from projects.circuit.editing.parts import known_types
from projects.circuit.part_types import PartType
from projects.drawing import Style, draw_part
from projects.forms.edit import EditForm
from projects.forms.part_type import PartTypeForm, initial_of
from projects.models import Project
from projects.said import say
from projects.sections import Editing
from projects.views.common import editable

__all__ = ["draw", "part_type", "render_part_type"]


@require_safe
@login_required
def part_type(request: HttpRequest, project_id: int) -> HttpResponse:
    """The form: `?type=` an own part type to change, `?like=` one to copy, neither for one from nothing.

    A copy may come resized: `&width=…&height=…` in mm.
    """
    project = editable(request, project_id)
    editing = Editing.of(project)
    initial = {"version": editing.version, **_initial(editing.document, request)}
    form = PartTypeForm(project, editing.document, initial=initial)
    named = {key: request.GET[key] for key in ("type", "like") if request.GET.get(key)}
    return render_part_type(request, form, resize=named)


def _initial(document: Document, request: HttpRequest) -> dict[str, object]:
    known = known_types(document.project)
    own = {one.type for one in document.project.part_types}
    if name := request.GET.get("type"):
        if name not in own:
            raise Http404
        return {**initial_of(_resized(known[name], request)), "old_name": name}
    if like := request.GET.get("like"):
        if like not in known:
            raise Http404
        copy = _resized(known[like], request)
        return {**initial_of(copy), "type": fresh_type(document.project, like)}
    return {"type": fresh_type(document.project, "part"), "kind": "led", "shape": "rectangle", "width": 12, "height": 6}


def _resized(part_type: PartType, request: HttpRequest) -> PartType:
    """In the size that the address asks for, if it is one."""
    try:
        width, height = (float(request.GET.get(key, "")) for key in ("width", "height"))
    except ValueError:
        return part_type
    return resized(part_type, width, height) if 0 < width <= 1000 and 0 < height <= 1000 else part_type


def render_part_type(
    request: HttpRequest, form: EditForm, *, resize: dict[str, str] | None = None, status: int = 200
) -> HttpResponse:
    """The page with the form, perhaps with what is wrong in it; `resize` names the part type that it begins with."""
    project: Project = form.project
    size = [form.initial.get(key) or form.initial.get("diameter") for key in ("width", "height")]
    context = {"project": project, "section": "part-types", "form": form, "from": resize, "size": size}
    return render(request, "projects/part_type.html", context, status=status)


@require_POST
@login_required
def draw(request: HttpRequest, project_id: int) -> HttpResponse:
    """The drawing of what the form holds now, or what is still wrong in it."""
    project = editable(request, project_id)
    form = PartTypeForm(project, project.newest().read(), request.POST)
    drawn = None
    if form.is_valid():
        # The drawing is built as an element tree that escapes every text; nothing in it is raw.
        drawn = mark_safe(draw_part(form.cleaned_data["part_type"], style=Style(say=say)))
    return render(request, "projects/part_drawing.html", {"form": form, "drawn": drawn})
