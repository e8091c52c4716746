"""Kit labels: for the whole class, or one anew, on a sheet of sticky labels."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from kits.forms.printing import LabelForm, PositionForm, grid_of
from kits.models import Kit, SchoolNotes, Workshop
from kits.services.access import Person, kit_taught, workshop_for
from kits.services.school_notes import keep_label_grid, notes_of
from kits.sheets.content import LabelGrid
from kits.sheets.for_class import labels_for
from kits.sheets.render import Paper, pdf
from kits.views.gates import for_teachers
from kits.views.sheets import pdf_response

__all__ = ["class_labels", "kit_label"]


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def class_labels(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Labels of the ticked kits (of all, where none is ticked); the sheet's sizes are kept for the next time."""
    workshop = workshop_for(person, workshop_id)
    notes = _notes(person)
    form = LabelForm(notes.label_grid, request.POST if request.method == "POST" else None)
    kits = list(workshop.kits.select_related("revision__project").prefetch_related("learners").order_by("number"))
    if not form.is_valid():
        context = {"person": person, "workshop": workshop, "form": form, "kits": kits, "loopback": _loopback(request)}
        return render(request, "kits/labels.html", context, status=400 if form.is_bound else 200)
    keep_label_grid(notes, form.cleaned_data["kept"])
    ticked = set(request.POST.getlist("kits"))
    chosen = [kit for kit in kits if str(kit.pk) in ticked] or kits
    return _printed(request, workshop, chosen, *grid_of(form.cleaned_data["kept"]), form.cleaned_data["start"])


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def kit_label(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """One label: the places of the sheet as buttons; the one that is tapped prints it there."""
    kit = kit_taught(person, kit_id)
    paper, grid = grid_of(_notes(person).label_grid)
    form = PositionForm(request.POST if request.method == "POST" else None)
    if form.is_valid() and form.cleaned_data["position"] <= grid.count:
        return _printed(request, kit.workshop, [kit], paper, grid, form.cleaned_data["position"])
    places = [[row * grid.columns + column + 1 for column in range(grid.columns)] for row in range(grid.rows)]
    context = {
        "person": person, "kit": kit, "workshop": kit.workshop, "grid": grid, "paper": paper, "places": places,
        "loopback": _loopback(request),
    }  # fmt: skip
    return render(request, "kits/label.html", context, status=400 if form.is_bound else 200)


def _notes(person: Person) -> SchoolNotes:
    assert person.user is not None
    return notes_of(person.user)


def _printed(
    request: HttpRequest, workshop: Workshop, kits: Sequence[Kit], paper: str, grid: LabelGrid, start: int
) -> HttpResponse:
    address_of = {kit.pk: request.build_absolute_uri(reverse("kits:join-by-link", args=[kit.code])) for kit in kits}
    on: Paper = "Letter" if paper == "Letter" else "A4"
    made = pdf([labels_for(workshop, kits, grid, start, address_of)], on)
    name = f"label-kit-{kits[0].number}.pdf" if len(kits) == 1 else f"labels-{workshop.pk}.pdf"
    return pdf_response(made, name)


def _loopback(request: HttpRequest) -> bool:
    """Whether the QR codes would lead to this machine itself, which no tablet can reach."""
    return request.get_host().partition(":")[0] in ("localhost", "127.0.0.1", "testserver")
