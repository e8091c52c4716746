"""Setting a workshop up, step by step; its details; and a new one like it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.set_up import CopyForm, DetailsForm
from kits.services.access import Person, workshop_for
from kits.services.copy_workshop import copy_workshop
from kits.services.kit_codes import replace_codes
from kits.services.set_up import read_set_up
from kits.views.gates import for_teachers

__all__ = ["copy", "details", "new_codes", "set_up"]


@require_safe
@for_teachers
def set_up(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """All steps, with what is missing."""
    workshop = workshop_for(person, workshop_id)
    context = {"person": person, "workshop": workshop, "here": "set-up", "set_up": read_set_up(workshop)}
    return render(request, "kits/set_up.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def details(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Title, place, and the minutes that are not for sewing."""
    workshop = workshop_for(person, workshop_id)
    form = DetailsForm(request.POST if request.method == "POST" else None, instance=workshop)
    if form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect("kits:set-up", workshop.pk)
    context = {"person": person, "workshop": workshop_for(person, workshop_id), "form": form, "here": "set-up"}
    return render(request, "kits/details.html", context, status=400 if form.is_bound else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def copy(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """A new class like this one."""
    assert person.user is not None
    workshop = workshop_for(person, workshop_id)
    form = CopyForm(workshop, request.POST if request.method == "POST" else None)
    if form.is_valid():
        made = copy_workshop(workshop, person.user, form.cleaned_data["title"], form.cleaned_data["date"])
        messages.success(request, _("The new class is set up: same kits and sessions, new codes, no names."))
        return redirect("kits:set-up", made.pk)
    context = {"person": person, "workshop": workshop, "form": form, "here": "set-up"}
    return render(request, "kits/copy_workshop.html", context, status=400 if form.is_bound else 200)


@require_POST
@for_teachers
def new_codes(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Replace the codes of all kits."""
    workshop = workshop_for(person, workshop_id)
    replace_codes(workshop)
    messages.success(request, _("Every kit has a new code. Print the labels anew; the old ones open nothing any more."))
    return redirect("kits:codes", workshop.pk)
