"""A layout that was handed in: drawing and findings side by side, and what the teacher says of it."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.forms.decisions import ReasonForm
from kits.models import Submission
from kits.services.access import Person, helper_of, person_of, submission_seen_by
from kits.services.decide import accept, send_back
from kits.services.reports import judge_submission
from kits.services.sewing import what_to_unpick
from kits.services.states import state_of_kit
from kits.views.findings import show
from kits.views.gates import for_teachers, to_sign_in
from kits.views.kit import try_it
from projects.said import say

__all__ = ["decide", "submission"]


@require_safe
def submission(request: HttpRequest, submission_id: int) -> HttpResponse:
    """For teacher and helper, and for the learners of the kit; anyone else finds no such page."""
    person = person_of(request)
    if person.kind == "nobody":
        return to_sign_in(request)
    return _page(request, person, submission_seen_by(person, submission_id), ReasonForm())


@require_POST
@for_teachers
def decide(request: HttpRequest, person: Person, submission_id: int) -> HttpResponse:
    """Accept it, or send it back with a reason."""
    submission = submission_seen_by(person, submission_id)
    if request.POST.get("decision") == "accept":
        try_it(request, lambda: accept(submission, person), _("Accepted. The kit is ready to sew."))
        return redirect("kits:kit", submission.kit_id)
    if request.POST.get("decision") != "send-back":
        raise Http404
    form = ReasonForm(request.POST)
    if not form.is_valid():
        return _page(request, person, submission, form, status=400)
    done = _("Sent back. The learner sees your words.")
    try_it(request, lambda: send_back(submission, person, form.cleaned_data["reason"]), done)
    return redirect("kits:kit", submission.kit_id)


def _page(
    request: HttpRequest, person: Person, submission: Submission, form: ReasonForm, status: int = 200
) -> HttpResponse:
    kit = submission.kit
    state = state_of_kit(kit)
    waits = state.phase == "handed-in" and state.submission == submission.pk
    context = {
        "person": person,
        "submission": submission,
        "kit": kit,
        "workshop": kit.workshop,
        "only_helps": helper_of(person, kit.workshop),
        "learners": list(kit.learners.all()),
        "shown": show(judge_submission(submission)),
        "waits": waits,
        "unpick": [(one.line, say(one.why)) for one in what_to_unpick(submission)] if waits else [],
        "accepted": state.accepted == submission.pk,
        "others": list(kit.submissions.exclude(pk=submission.pk).defer("document", "report")),
        "form": form,
    }
    template = "kits/submission_learner.html" if person.kind == "learner" else "kits/submission.html"
    return render(request, template, context, status=status)
