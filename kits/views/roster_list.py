"""A roster by paste or file: preview, then all of it or nothing. And one learner by themselves."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from kits.forms.roster_list import LearnerForm, RosterListForm, SureForm
from kits.services.access import Person, learner_for, workshop_for
from kits.services.erase import erase_learner
from kits.services.import_roster import import_roster, place_roster
from kits.services.layouts import NotNow
from kits.services.set_up import levels_of
from kits.views.gates import for_teachers

__all__ = ["erase_one", "learner", "roster_list"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def roster_list(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """POST shows what would be taken over, or with `take-over` takes it over; what is wrong is said by row."""
    workshop = workshop_for(person, workshop_id)
    context: dict[str, object] = {
        "person": person,
        "workshop": workshop,
        "here": "roster",
        "titles": [level.revision.project.title for level in levels_of(workshop)],
    }
    if request.method != "POST":
        return render(request, "kits/roster_list.html", {**context, "form": RosterListForm()})
    form = RosterListForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "kits/roster_list.html", {**context, "form": form}, status=400)
    table = form.table()
    placed = place_roster(workshop, table)
    sound = table.sound and all(one.sound for one in placed)
    if sound and "take-over" in request.POST and not request.FILES:
        done = [one for one in import_roster(workshop, table) if not one.known]
        text = ngettext("Added {count} name.", "Added {count} names.", len(done))
        messages.success(request, text.format(count=len(done)))
        return redirect("kits:roster", workshop.pk)
    context |= {"form": form.with_text(), "table": table, "placed": placed, "sound": sound}
    return render(request, "kits/roster_list.html", context, status=200 if sound else 400)


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def learner(request: HttpRequest, person: Person, learner_id: int) -> HttpResponse:
    """What a learner is called."""
    held = learner_for(person, learner_id)
    form = LearnerForm(request.POST if request.method == "POST" else None, instance=held)
    if form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect("kits:roster", held.workshop_id)
    context = _about(person, learner_id) | {"form": form, "sure": SureForm()}
    return render(request, "kits/learner.html", context, status=400 if form.is_bound else 200)


@require_http_methods(["POST"])
@for_teachers
def erase_one(request: HttpRequest, person: Person, learner_id: int) -> HttpResponse:
    """Delete the personal data of one learner."""
    held = learner_for(person, learner_id)
    sure = SureForm(request.POST)
    if sure.is_valid():
        try:
            erase_learner(held)
        except NotNow as refusal:
            messages.error(request, str(refusal))
            return redirect("kits:learner", held.pk)
        messages.success(request, _("Deleted: the name, and all that was written by or about this learner."))
        return redirect("kits:roster", held.workshop_id)
    context = _about(person, learner_id) | {"form": LearnerForm(instance=held), "sure": sure}
    return render(request, "kits/learner.html", context, status=400)


def _about(person: Person, learner_id: int) -> dict[str, object]:
    """The learner as they are kept, whatever a form holds."""
    kept = learner_for(person, learner_id)
    return {
        "person": person,
        "learner": kept,
        "workshop": kept.workshop,
        "kits": list(kept.kits.defer("document", "layout").order_by("number")),
        "here": "roster",
    }
