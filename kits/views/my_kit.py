"""A learner's kit: what to do next, the stages, help, and what the check says."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.forms.decisions import HelpForm
from kits.models import Kit
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help, drop_help
from kits.services.reports import judge_kit
from kits.services.stage_ticks import tick_stage, untick_stage
from kits.services.states import stage_rows, state_of_kit
from kits.views.findings import show
from kits.views.gates import for_learners
from kits.views.kit import try_it

__all__ = ["my_findings", "my_help", "my_kit", "my_news", "my_stage"]


@require_safe
@for_learners
def my_kit(request: HttpRequest, person: Person) -> HttpResponse:
    """What to do next, big."""
    assert person.kit is not None
    state = state_of_kit(person.kit)
    stages = stage_rows(person.kit)
    current = next((stage for stage in stages if stage.name == state.current), None)
    context = {
        "person": person,
        "kit": person.kit,
        "learners": list(person.kit.learners.all()),
        "state": state,
        "stages": [(stage, state.of_stage(stage)) for stage in stages],
        "may_untick": next(
            (s.name for s in reversed(stages) if s.name in (state.done | state.asked) - state.signed), None
        ),
        "current": current,
        "before_look": current is not None and current.goes_on and current.name not in state.signed,
        "project": person.kit.revision.project.title,
        "help_form": HelpForm(),
        "newest": _newest(person.kit),
    }
    return render(request, "kits/my_kit.html", context)


@require_safe
@for_learners
def my_news(request: HttpRequest, person: Person) -> HttpResponse:
    """A word that something happened since event `since`; no body while nothing has.

    The page does not change by itself: a child may be typing.
    """
    assert person.kit is not None
    if request.GET.get("since") == str(_newest(person.kit)):
        return HttpResponse(status=204)
    return render(request, "kits/my_news.html", {"sewing": request.GET.get("for") == "sewing"})


@require_safe
@for_learners
def my_findings(request: HttpRequest, person: Person) -> HttpResponse:
    """The kit's layout with what the check says of it."""
    assert person.kit is not None
    state = state_of_kit(person.kit)
    laying_out = state.phase in ("not-begun", "laying-out", "sent-back")
    shown = show(judge_kit(person.kit), laying_out=laying_out)
    return render(request, "kits/my_findings.html", {"person": person, "kit": person.kit, "shown": shown})


@require_POST
@for_learners
def my_help(request: HttpRequest, person: Person) -> HttpResponse:
    """Ask for help, or say that it is not needed any more."""
    assert person.kit is not None
    back = redirect("kits:my-sewing" if request.POST.get("next") == "sewing" else "kits:my-kit")
    if request.POST.get("action") == "drop":
        drop_help(person.kit, person)
        return back
    form = HelpForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("That was too long. Use a few words, then ask again."))
        return back
    ask_for_help(person.kit, person, form.cleaned_data["about"] or form.cleaned_data["at"])
    return back


@require_POST
@for_learners
def my_stage(request: HttpRequest, person: Person) -> HttpResponse:
    """Tick the stage that is done, or take a tick back."""
    assert person.kit is not None
    kit, stage = person.kit, request.POST.get("stage", "")
    change = untick_stage if request.POST.get("action") == "untick" else tick_stage
    try_it(request, lambda: change(kit, stage, person), "")
    return redirect("kits:my-kit")


def _newest(kit: Kit) -> int | None:
    """Id of the kit's newest event."""
    return kit.events.order_by("-pk").values_list("pk", flat=True).first()
