"""Marks: the class at a glance, one kit with its evidence, a file for a spreadsheet, sheets."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from kits.forms.marks import MarksForm
from kits.models import Kit
from kits.services.access import Person, kit_taught, workshop_for
from kits.services.marks import MarksOfLevel, evidence_of, marks_of, save_marks
from kits.sheets.for_marks import marks_sheets_for, record_for
from kits.sheets.render import pdf
from kits.views.csv_file import csv_file
from kits.views.gates import for_teachers
from kits.views.sheets import paper_of, pdf_response
from projects.said import say

__all__ = ["kit_marks", "kit_record", "marks", "marks_csv", "marks_sheet"]


@require_safe
@for_teachers
def marks(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """All marks of a workshop."""
    workshop = workshop_for(person, workshop_id)
    context = {"person": person, "workshop": workshop, "levels": marks_of(workshop), "here": "marks"}
    return render(request, "kits/marks.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def kit_marks(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Mark those who make one kit, beside what there is to judge by."""
    kit = kit_taught(person, kit_id)
    level = _level(kit)
    data = request.POST if request.method == "POST" else None
    forms = [MarksForm(row, level.criteria, data) for row in level.rows]
    if data is not None and all(form.is_valid() for form in forms):
        with transaction.atomic():
            for form in forms:
                save_marks(kit, form.marked.learner, form.levels(), form.cleaned_data["comment"], person.user)
        messages.success(request, _("The marks of {kit} are kept.").format(kit=kit))
        following = _after(kit) if "next" in data else None
        return redirect("kits:kit-marks", following.pk) if following else redirect("kits:marks", kit.workshop_id)
    context = {
        "person": person,
        "workshop": kit.workshop,
        "kit": kit,
        "level": level,
        "forms": forms,
        "evidence": evidence_of(kit),
        "after": _after(kit),
        "here": "marks",
    }
    return render(request, "kits/kit_marks.html", context, status=400 if data is not None else 200)


@require_safe
@never_cache
@for_teachers
def marks_csv(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The marks for a spreadsheet: a row a learner and criterion."""
    workshop = workshop_for(person, workshop_id)
    head = [_("project"), _("kit"), _("name"), _("stage"), _("criterion"), _("level"), _("mark"), _("comment")]
    rows: list[Sequence[object]] = []
    for level in marks_of(workshop):
        for row in level.rows:
            for criterion, mark in zip(level.criteria, row.levels, strict=True):
                said = [say(criterion.title), say(criterion.words)]
                given = ["", ""] if mark is None else [int(mark), str(mark.label)]
                rows.append([level.title, row.kit.number, row.name, *said, *given, row.comment])
    return csv_file("marks.csv", head, rows)


@require_safe
@never_cache
@for_teachers
def marks_sheet(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The marks of the class on paper, a sheet a project."""
    workshop = workshop_for(person, workshop_id)
    sheets = marks_sheets_for(workshop, marks_of(workshop))
    return pdf_response(pdf(sheets, paper_of(request)), f"marks-{workshop.pk}.pdf")


@require_safe
@never_cache
@for_teachers
def kit_record(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """The record of those who made a kit, a page each; `?learner=` for one of them."""
    kit = kit_taught(person, kit_id)
    level = _level(kit)
    asked = request.GET.get("learner", "")
    rows = [row for row in level.rows if not asked or (row.learner and str(row.learner.pk) == asked)]
    if not rows:
        raise Http404
    sheets = [record_for(row, level.criteria, evidence_of(kit)) for row in rows]
    return pdf_response(pdf(sheets, paper_of(request)), f"kit-{kit.number}-record.pdf")


def _level(kit: Kit) -> MarksOfLevel:
    """The kit's own part of the marks; a spare kit that nobody makes has none."""
    levels = marks_of(kit.workshop, only=kit)
    if not levels or not levels[0].rows:
        raise Http404
    return levels[0]


def _after(kit: Kit) -> Kit | None:
    """The next kit to mark."""
    kits = kit.workshop.kits.filter(number__gt=kit.number).exclude(spare=True, kitlearner=None)
    return kits.defer("document", "layout").order_by("number").first()
