"""One kit, for its teacher: layout, submissions, findings, progress, code. A helper sees it and gives looks."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.forms.decisions import FindingForm, LetPassForm, ReasonForm
from kits.models import Event, Kit
from kits.services.access import Person, helper_of, kit_held_by, kit_seen_by, kit_taught, may_hold
from kits.services.kit_codes import replace_code
from kits.services.layouts import NotNow, document_to_sew
from kits.services.let_pass import let_pass, take_back_let_pass
from kits.services.reports import judge_kit
from kits.services.stage_ticks import send_stage_back, sign_off_stage, tick_stage, untick_stage
from kits.services.states import stage_rows, state_of_kit
from kits.views.findings import show
from kits.views.gates import for_teachers

__all__ = ["drop_let_pass", "kit", "kit_let_pass", "kit_stage", "new_code", "try_it"]


@require_safe
@for_teachers
def kit(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """The kit as it is now."""
    return _page(request, person, kit_seen_by(person, kit_id))


@require_POST
@for_teachers
def kit_let_pass(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Let a finding pass, with a reason."""
    kit = kit_taught(person, kit_id)
    form = LetPassForm(request.POST)
    if not form.is_valid():
        return _page(request, person, kit, passing=form, status=400)
    data = form.cleaned_data
    try_it(request, lambda: let_pass(kit, data["finding"], data["reason"], person), _("Let pass; the reason is kept."))
    return redirect("kits:kit", kit.pk)


@require_POST
@for_teachers
def drop_let_pass(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """The finding counts again."""
    kit = kit_taught(person, kit_id)
    form = FindingForm(request.POST)
    if form.is_valid():
        take_back_let_pass(kit, form.cleaned_data["finding"])
    return redirect("kits:kit", kit.pk)


@require_POST
@for_teachers
def kit_stage(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Tick or untick a stage (teacher, or who stands in), sign its look off or send it back (helper too)."""
    action, stage = request.POST.get("action", ""), request.POST.get("stage", "")
    kit = kit_seen_by(person, kit_id) if action in _LOOKS else kit_held_by(person, kit_id)
    if action == "send-back":
        form = ReasonForm(request.POST)
        if not form.is_valid():
            return _page(request, person, kit, sending=form, status=400)
        try_it(request, lambda: send_stage_back(kit, stage, person, form.cleaned_data["reason"]), _("Sent back."))
    elif action in _TICKS:
        try_it(request, lambda: _TICKS[action](kit, stage, person), "")
    return redirect("kits:kit", kit.pk)


@require_POST
@for_teachers
def new_code(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Replace the code; the old label opens nothing any more."""
    kit = kit_taught(person, kit_id)
    replace_code(kit)
    messages.success(request, _("The kit has a new code. Print a new label; the old one opens nothing any more."))
    return redirect("kits:kit", kit.pk)


_LOOKS = ("sign-off", "send-back")
_TICKS = {"tick": tick_stage, "untick": untick_stage, "sign-off": sign_off_stage}


def try_it(request: HttpRequest, use_case: Callable[[], object], done: str) -> bool:
    """Run a use case; say that it is done, or why it is not possible now. Whether it was done."""
    try:
        use_case()
    except NotNow as refusal:
        messages.error(request, str(refusal))
        return False
    if done:
        messages.success(request, done)
    return True


def _page(
    request: HttpRequest,
    person: Person,
    kit: Kit,
    *,
    passing: LetPassForm | None = None,
    sending: ReasonForm | None = None,
    status: int = 200,
) -> HttpResponse:
    state, stages = state_of_kit(kit), stage_rows(kit)
    submissions = kit.submissions.select_related("learner", "user").defer("document", "report").order_by("-number")
    log = kit.events.exclude(kind__in=EACH_STEP).select_related("learner", "user", "remark").order_by("-pk")
    context = {
        "person": person,
        "kit": kit,
        "workshop": kit.workshop,
        "learners": list(kit.learners.all()),
        "only_helps": helper_of(person, kit.workshop),
        "holds": may_hold(person, kit.workshop),
        "state": state,
        "stages": [(stage, state.of_stage(stage)) for stage in stages],
        "look_title": next((stage.title for stage in stages if stage.name == state.waiting_for_look), ""),
        "shown": show(judge_kit(kit)) if kit.layout_version else None,
        "changed": state.sewing_begun and document_to_sew(kit).layout != kit.read().layout,
        "submissions": list(submissions),
        "log": list(log[:LOG_SHOWN]),
        "passing": passing,
        "sending": sending or ReasonForm(auto_id="sending-%s"),
    }
    return render(request, "kits/kit.html", context, status=status)


LOG_SHOWN = 40
EACH_STEP = (Event.Kind.STEP_DONE, Event.Kind.STEP_UNDONE, Event.Kind.READING_TAKEN, Event.Kind.LOOK_ASKED)
"""What the page of steps and readings shows; here it would bury the rest."""
