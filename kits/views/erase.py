"""Deleting the personal data of a class: explained beforehand, done whole."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.forms.roster_list import SureForm
from kits.services.access import Person, workshop_for
from kits.services.erase import erase_personal_data, what_to_erase
from kits.services.layouts import NotNow
from kits.views.gates import for_teachers

__all__ = ["erase"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def erase(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """What would go and what would stay; POST deletes it."""
    workshop = workshop_for(person, workshop_id)
    form = SureForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            erase_personal_data(workshop)
        except NotNow as refusal:
            messages.error(request, str(refusal))
            return redirect("kits:erase", workshop.pk)
        messages.success(request, _("The personal data of this class is deleted."))
        return redirect("kits:set-up", workshop.pk)
    context = {
        "person": person,
        "workshop": workshop,
        "form": form,
        "there": what_to_erase(workshop),
        "here": "set-up",
    }
    return render(request, "kits/erase.html", context, status=400 if form.is_bound else 200)
