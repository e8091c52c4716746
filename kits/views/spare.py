"""Giving a kit a spare, from its own page."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.forms.packing import SpareForm
from kits.services.access import Person, kit_taught
from kits.services.give_spare import give_spare
from kits.services.kit_contents import contents_of, spares_for
from kits.services.layouts import NotNow
from kits.views.gates import for_teachers

__all__ = ["spare"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def spare(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """A panel of the kit's page: what is in the kit, and what can be given; POST gives it."""
    kit = kit_taught(person, kit_id)
    form = SpareForm(spares_for(kit), request.POST if request.method == "POST" else None)
    form.helper.form_action = reverse("kits:spare", args=[kit.pk])
    if form.is_valid():
        try:
            give_spare(kit, person, form.given, form.thousandths, form.cleaned_data["reason"])
        except NotNow as refusal:
            form.add_error("amount", str(refusal))
        else:
            messages.success(request, _("Given. It stands in the kit's record, and stock is less by it."))
            return redirect("kits:kit", kit.pk)
    template = "kits/spare_panel.html" if getattr(request, "htmx", False) else "kits/spare.html"
    context = {"person": person, "kit": kit, "workshop": kit.workshop, "form": form, "contents": contents_of(kit)}
    return render(request, template, context, status=400 if form.is_bound else 200)
