"""Sheets of a kit as PDF, for its learners, its teacher and the helpers."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from kits.models import Kit
from kits.services.access import kit_seen_by, person_of
from kits.sheets.content import Sheet, Units
from kits.sheets.for_kit import materials_list_for, step_sheet_for
from kits.sheets.render import Paper, pdf
from kits.views.gates import to_sign_in

__all__ = ["materials", "step_sheet"]


@require_safe
@never_cache
def step_sheet(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """The step sheet of a kit; `?paper=letter&units=inch` for US Letter and inches."""
    return _sheet(request, kit_id, "step-sheet", lambda kit, units, staff: step_sheet_for(kit, units))


@require_safe
@never_cache
def materials(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """The materials list of a kit; for teacher and helpers with what the class takes."""
    return _sheet(
        request, kit_id, "materials", lambda kit, units, staff: materials_list_for(kit, units, with_class=staff)
    )


def _sheet(request: HttpRequest, kit_id: int, name: str, make: Callable[[Kit, Units, bool], Sheet]) -> HttpResponseBase:
    person = person_of(request)
    if person.kind == "nobody":
        return to_sign_in(request)
    kit = kit_seen_by(person, kit_id)
    # Whatever else stands in the address: centimetres on A4.
    units: Units = "inch" if request.GET.get("units") == "inch" else "cm"
    paper: Paper = "Letter" if request.GET.get("paper") == "letter" else "A4"
    response = HttpResponse(pdf([make(kit, units, person.kind == "teacher")], paper), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="kit-{kit.number}-{name}.pdf"'
    return response
