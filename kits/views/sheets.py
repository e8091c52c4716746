"""Sheets of a kit as PDF, for its learners, its teacher and the helpers; and the page for a substitute."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from kits.services.access import Person, kit_seen_by, person_of, workshop_seen_by
from kits.sheets.content import Sheet, Units
from kits.sheets.for_class import substitute_page_for
from kits.sheets.for_kit import KIT_SHEETS, KitOnPaper, Wishes, words_of
from kits.sheets.render import Paper, pdf
from kits.views.gates import for_teachers, to_sign_in

__all__ = ["kit_sheet", "materials", "paper_of", "pdf_response", "step_sheet", "substitute"]


@require_safe
@never_cache
def step_sheet(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """The step sheet of a kit; `?paper=letter&units=inch` for US Letter and inches."""
    return _sheet(request, kit_id, "step-sheet")


@require_safe
@never_cache
def materials(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """The materials list of a kit; for teacher and helpers with what the class takes."""
    return _sheet(request, kit_id, "materials")


@require_safe
@never_cache
def kit_sheet(request: HttpRequest, kit_id: int, sheet: str) -> HttpResponseBase:
    """Any sheet of a kit by its name; `?mirrored=1` mirrors the placement template, to mark the inside."""
    if sheet == "template" and request.GET.get("mirrored") == "1":
        sheet = "template-mirrored"
    return _sheet(request, kit_id, sheet)


@require_safe
@never_cache
@for_teachers
def substitute(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Who is where, what is next, what to count: for whoever takes the class."""
    workshop = workshop_seen_by(person, workshop_id).workshop
    page = substitute_page_for(workshop, words_of(workshop.owner_id))
    return pdf_response(pdf([page], paper_of(request)), f"substitute-page-{workshop.pk}.pdf")


def pdf_response(content: bytes, name: str) -> HttpResponse:
    """A PDF that the browser shows, under a name to save it by."""
    response = HttpResponse(content, content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response


def _sheet(request: HttpRequest, kit_id: int, name: str) -> HttpResponseBase:
    person = person_of(request)
    if person.kind == "nobody":
        return to_sign_in(request)
    kit = kit_seen_by(person, kit_id)
    if name not in KIT_SHEETS:
        raise Http404
    # Whatever else stands in the address: centimetres on A4.
    units: Units = "inch" if request.GET.get("units") == "inch" else "cm"
    wishes = Wishes(units, words_of(kit.workshop.owner_id), with_class=person.kind == "teacher")
    made: Sheet = KIT_SHEETS[name].make(KitOnPaper(kit), wishes)
    return pdf_response(pdf([made], paper_of(request)), f"kit-{kit.number}-{name}.pdf")


def paper_of(request: HttpRequest) -> Paper:
    """A4, or US Letter for `?paper=letter`."""
    return "Letter" if request.GET.get("paper") == "letter" else "A4"
