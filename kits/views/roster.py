"""Who is in the class, who makes which kit, and more kits."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.roster import NamesForm, WhoMakesWhatForm
from kits.forms.workshop import KitsForm
from kits.models import Workshop
from kits.services.access import Person, workshop_for
from kits.services.create_workshop import add_kits
from kits.services.roster import Added, add_learners, assign_learners
from kits.views.gates import for_teachers

__all__ = ["codes", "more_kits", "roster", "who_makes_what"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def roster(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The learners of a workshop; POST adds names."""
    workshop = workshop_for(person, workshop_id)
    form = NamesForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        _tell(request, add_learners(workshop, form.cleaned_data["names"]))
        return redirect("kits:roster", workshop.pk)
    return _page(request, person, workshop, names=form, status=400 if form.is_bound else 200)


@require_POST
@for_teachers
def who_makes_what(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Give each learner a kit; the same for two makes them a pair."""
    workshop = workshop_for(person, workshop_id)
    form = WhoMakesWhatForm(workshop, request.POST)
    if not form.is_valid():
        return _page(request, person, workshop, makers=form, status=400)
    assign_learners(workshop, form.kit_of(), form.left_handed())
    messages.success(request, _("Saved who makes which kit."))
    return redirect("kits:roster", workshop.pk)


@require_POST
@for_teachers
def more_kits(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Add kits, each with a code of its own."""
    assert person.user is not None
    workshop = workshop_for(person, workshop_id)
    form = KitsForm(person.user, request.POST)
    if not form.is_valid():
        return _page(request, person, workshop, kits=form, status=400)
    added = add_kits(workshop, form.cleaned_data["revision"], form.cleaned_data["kits"])
    text = ngettext("Added {count} kit.", "Added {count} kits.", len(added))
    messages.success(request, text.format(count=len(added)))
    return redirect("kits:roster", workshop.pk)


@require_safe
@for_teachers
def codes(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The code of each kit, to read out or print."""
    workshop = workshop_for(person, workshop_id)
    kits = workshop.kits.defer("document", "layout", "stages").prefetch_related("learners").order_by("number")
    return render(request, "kits/codes.html", {"person": person, "workshop": workshop, "kits": list(kits)})


def _page(
    request: HttpRequest,
    person: Person,
    workshop: Workshop,
    *,
    names: NamesForm | None = None,
    makers: WhoMakesWhatForm | None = None,
    kits: KitsForm | None = None,
    status: int = 200,
) -> HttpResponse:
    assert person.user is not None
    names, kits = names or NamesForm(), kits or KitsForm(person.user)
    # Each form goes to its own address, whichever of them brought the page up again.
    names.helper.form_action = reverse("kits:roster", args=[workshop.pk])
    kits.helper.form_action = reverse("kits:more-kits", args=[workshop.pk])
    context = {
        "person": person,
        "workshop": workshop,
        "names": names,
        "makers": makers or WhoMakesWhatForm(workshop),
        "kits": kits,
    }
    return render(request, "kits/roster.html", context, status=status)


def _tell(request: HttpRequest, came: Added) -> None:
    if came.added:
        text = ngettext("Added {count} name.", "Added {count} names.", len(came.added))
        messages.success(request, text.format(count=len(came.added)))
    if came.known:
        text = _("In the class already, so not added again: {names}.")
        messages.warning(request, text.format(names=", ".join(came.known)))
    if came.without_kit:
        text = _("No kit was free for {names}. Add kits below, or let two share one.")
        messages.warning(request, text.format(names=", ".join(came.without_kit)))
