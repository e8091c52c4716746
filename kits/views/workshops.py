"""The list of workshops, and setting one up."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Min
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from kits.forms.workshop import WorkshopForm
from kits.models import Workshop
from kits.services.access import Person
from kits.services.create_workshop import create_workshop
from kits.views.gates import for_teachers

__all__ = ["new_workshop", "workshops"]

PER_PAGE = 20


@require_safe
@for_teachers
def workshops(request: HttpRequest, person: Person) -> HttpResponse:
    """All workshops that this person teaches or helps in, newest first."""
    assert person.user is not None
    found = Workshop.objects.staffed_by(person.user).annotate(
        kit_count=Count("kits", distinct=True), first_day=Min("sessions__date")
    )
    found = found.order_by("-created", "-pk")  # a count drops the order of the model
    page = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "kits/workshops.html", {"person": person, "page": page})


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def new_workshop(request: HttpRequest, person: Person) -> HttpResponse:
    """Set a class up: what it makes, how many, when."""
    assert person.user is not None
    form = WorkshopForm(person.user, request.POST if request.method == "POST" else None)
    if not form.is_valid():
        status = 400 if form.is_bound else 200
        return render(request, "kits/workshop_new.html", {"person": person, "form": form}, status=status)
    workshop = create_workshop(person.user, **form.cleaned_data)
    messages.success(request, _("The class is set up; each kit has its own code. What is missing stands here."))
    return redirect("kits:set-up", workshop.pk)
