"""Helpers and cover teachers: asking them by a code, and the page for the one who covers a day."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.staff import InvitationForm, InviteForm
from kits.services.access import Person, helper_of, workshop_for, workshop_held_by
from kits.services.class_today import read_class_today
from kits.services.layouts import NotNow
from kits.services.staff import KEPT, accept_invitation, invite, let_go
from kits.views.gates import for_teachers

__all__ = ["class_today", "helpers", "invitation", "remove_helper"]


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def helpers(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Who helps, who covers which day, and whom a code still waits for; POST makes a code."""
    workshop = workshop_for(person, workshop_id)
    form = InviteForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        made = invite(workshop, form.cleaned_data["role"], form.cleaned_data["day"])
        messages.success(request, _("The code is {code}. Give it to the one you ask.").format(code=made.shown_code))
        return redirect("kits:helpers", workshop.pk)
    context = {
        "person": person,
        "workshop": workshop,
        "form": form,
        "helpers": list(workshop.helpers.order_by("username")),
        "covers": list(workshop.covers.select_related("user").filter(day__gte=timezone.localdate())),
        "invitations": list(workshop.invitations.filter(made_at__gte=timezone.now() - KEPT)),
        "days": KEPT.days,
        "here": "helpers",
    }
    return render(request, "kits/helpers.html", context, status=400 if form.is_bound else 200)


@require_POST
@for_teachers
def remove_helper(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """End what somebody may do here, or withdraw a code."""
    workshop = workshop_for(person, workshop_id)
    row = request.POST.get("row", "")
    if row.isdigit():
        let_go(workshop, request.POST.get("what", ""), int(row))
        messages.success(request, _("Taken off. It holds from now on."))
    return redirect("kits:helpers", workshop.pk)


@never_cache
@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def invitation(request: HttpRequest, person: Person) -> HttpResponse:
    """Take an invitation up by its code."""
    assert person.user is not None
    form = InvitationForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            came = accept_invitation(form.cleaned_data["code"], person.user)
        except NotNow as refusal:
            form.add_error("code", str(refusal))
        else:
            title = came.workshop.title
            if came.day is None:
                messages.success(request, _("You help in “{title}” now.").format(title=title))
                return redirect("kits:board", came.workshop.pk)
            day = date_format(came.day, "j F Y")
            messages.success(
                request, _("You cover “{title}” on {day}. It opens on that day.").format(title=title, day=day)
            )
            return redirect("kits:home")
    return render(
        request, "kits/invitation.html", {"person": person, "form": form}, status=400 if form.is_bound else 200
    )


@never_cache
@require_safe
@for_teachers
def class_today(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Who is where, what is next, what to count: for the one who covers today, and for the teacher to look at."""
    workshop = workshop_held_by(person, workshop_id)
    context = {
        "person": person,
        "workshop": workshop,
        "now": read_class_today(workshop),
        "only_helps": helper_of(person, workshop),
        "here": "today",
    }
    return render(request, "kits/class_today.html", context)
