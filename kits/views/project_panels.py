"""What kits know of a project: report, plan and materials of its example, as panels; and publishing it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.plan.make import make_plan
from kits.plan.values import Material
from kits.services.access import Person, project_for, project_seen_by
from kits.services.publish import publish
from kits.services.reports import judge
from kits.sheets.content.lengths import spoken_metres
from kits.views.findings import show
from kits.views.gates import for_teachers
from kits.views.kit import try_it
from projects.said import say_name
from projects.views.typed import typed_version

__all__ = ["materials_panel", "plan_panel", "publish_project", "report_panel"]


@require_safe
@for_teachers
def report_panel(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """Drawing and findings of the example layout."""
    project = project_seen_by(person, project_id)
    shown = show(judge(project.newest().read()))
    return render(request, "kits/project_report.html", {"project": project, "shown": shown})


@require_safe
@for_teachers
def plan_panel(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """Threads, stages and minutes of the example layout."""
    plan = make_plan(project_seen_by(person, project_id).newest().read())
    return render(request, "kits/project_plan.html", {"plan": plan})


@require_safe
@for_teachers
def materials_panel(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """What a kit takes, and what it costs."""
    materials = make_plan(project_seen_by(person, project_id).newest().read()).materials
    rows = [(material, _amount(material)) for material in materials]
    context = {"rows": rows, "cost": sum(material.price for material in materials)}
    return render(request, "kits/project_materials.html", context)


@require_POST
@for_teachers
def publish_project(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """Freeze the draft as a revision that workshops may use: the one that the page showed."""
    project = project_for(person, project_id)
    version = typed_version(request.POST.get("version", ""))
    try_it(request, lambda: publish(project, version), _("Published. Classes can use it now."))
    return redirect("projects:page", project.pk)


def _amount(material: Material) -> str:
    if material.kind == "thread":
        return spoken_metres(material.amount)
    return f"{material.amount:g} {say_name(material.unit)}"
