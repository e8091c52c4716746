"""A part type as PDF at true scale."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from kits.services.access import Person, project_seen_by
from kits.sheets.content import Heading, Units, part_print
from kits.sheets.render import Paper, pdf
from kits.views.gates import for_teachers
from projects.circuit.editing.parts import known_types

__all__ = ["part_print_file"]


@require_safe
@never_cache
@for_teachers
def part_print_file(request: HttpRequest, person: Person, project_id: int, type_name: str) -> HttpResponse:
    """A part type of the catalogue or of the project; `?paper=letter&units=inch` for US Letter."""
    project = project_seen_by(person, project_id)
    known = known_types(project.newest().read().project)
    if type_name not in known:
        raise Http404
    units: Units = "inch" if request.GET.get("units") == "inch" else "cm"
    paper: Paper = "Letter" if request.GET.get("paper") == "letter" else "A4"
    sheet = part_print(known[type_name], heading=Heading(project=project.title), units=units)
    response = HttpResponse(pdf([sheet], paper), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{type_name}.pdf"'
    return response
