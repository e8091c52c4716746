"""Sewing: a learner's one step at a time, with the drawing of done, now and next."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.forms.decisions import HelpForm
from kits.forms.sewing import ReadingForm
from kits.models import Kit
from kits.plan.judge import Judgement
from kits.plan.progress import TakenReading
from kits.plan.values import PlannedStage, Reading, Run, Step
from kits.plan.words import place_words
from kits.services.access import Person
from kits.services.layouts import NotNow
from kits.services.sewing import Sewing, read_sewing
from kits.services.steps import take_reading, tick_step, untick_step
from kits.views.gates import for_learners
from kits.views.reading_words import reading_words
from kits.views.sewing_drawings import close_up, step_pictures
from projects.circuit.fabric import lay_out
from projects.said import say

__all__ = ["ShownStep", "my_reading", "my_sewing", "my_step", "show_step"]


@require_safe
@for_learners
def my_sewing(request: HttpRequest, person: Person) -> HttpResponse:
    """The step to do; or, with `step`, another one to look at again."""
    assert person.kit is not None
    return _page(request, person, request.GET.get("step", ""))


@require_POST
@for_learners
def my_step(request: HttpRequest, person: Person) -> HttpResponse:
    """A step is done, or is not done after all."""
    assert person.kit is not None
    key = request.POST.get("step", "")
    change = untick_step if request.POST.get("action") == "untick" else tick_step
    try:
        change(person.kit, key, person)
    except NotNow as refusal:
        return _answer(request, person, told=str(refusal))
    return _answer(request, person)


@require_POST
@for_learners
def my_reading(request: HttpRequest, person: Person) -> HttpResponse:
    """What the meter showed, judged at once."""
    assert person.kit is not None
    key = request.POST.get("step", "")
    sewing = read_sewing(person.kit)
    reading = _reading(sewing, key) if sewing is not None else None
    if reading is None:
        return _answer(request, person, told=_("Your plan has changed. Here is the step to do now."))
    form = ReadingForm(reading.kind, request.POST)
    if not form.is_valid():
        return _page(request, person, key, form=form, status=200 if _htmx(request) else 400)
    try:
        judgement = take_reading(person.kit, key, form.reading, person)
    except NotNow as refusal:
        return _answer(request, person, told=str(refusal))
    return _answer(request, person, told=say(judgement.text) if judgement.ok else "", good=True)


@dataclass(frozen=True)
class ShownStep:
    """A step as the page shows it."""

    stage: PlannedStage
    step: Step
    number: int
    of: int
    run: Run | None
    run_number: int
    reading: Reading | None
    taken: TakenReading | None
    starts_at: str = ""
    ends_at: str = ""

    @property
    def words(self) -> str:
        return say(self.step.text)

    @property
    def title(self) -> str:
        return say(self.stage.title)

    @property
    def is_look(self) -> bool:
        return self.stage.look and self.step.key == f"look:{self.stage.name}"

    @property
    def cut_cm(self) -> int | None:
        """Whole centimetres to cut, rounded up."""
        return None if self.run is None else -int(-self.run.cut_mm // 10)

    @property
    def judgement(self) -> Judgement | None:
        return self.taken.judgement if self.taken is not None else None

    @property
    def taken_words(self) -> str:
        """The value that was read, with its unit."""
        if self.taken is None or self.taken.value is None or self.reading is None:
            return ""
        return reading_words(self.reading.kind, self.taken.value)

    @property
    def verdict(self) -> str:
        return say(self.judgement.text) if self.judgement is not None else ""

    @property
    def look_first(self) -> str:
        found = self.judgement.look_first if self.judgement is not None else None
        return say(found) if found is not None else ""


def _answer(request: HttpRequest, person: Person, told: str = "", good: bool = False) -> HttpResponse:
    """After something was done: the page as it is now, in place or loaded anew."""
    if _htmx(request):
        return _page(request, person, told=told, good=good)
    if told:
        messages.add_message(request, messages.SUCCESS if good else messages.WARNING, told)
    return redirect("kits:my-sewing")


def _page(
    request: HttpRequest,
    person: Person,
    key: str = "",
    *,
    form: ReadingForm | None = None,
    told: str = "",
    good: bool = False,
    status: int = 200,
) -> HttpResponse:
    kit = person.kit
    assert kit is not None
    sewing = read_sewing(kit)
    if sewing is None or not sewing.state.sewing_begun:
        return redirect("kits:my-kit")
    progress = sewing.progress
    now = show_step(sewing, progress.now.key) if progress.now is not None else None
    shown = (show_step(sewing, key) if key else None) or now
    before = _before(sewing, shown)
    whole = step_pictures(sewing, shown.step if shown is not None else None)
    context = {
        "person": person,
        "kit": kit,
        "state": sewing.state,
        "shown": shown,
        "is_now": shown is not None and now is not None and shown.step.key == now.step.key,
        "is_done": shown is not None and shown.step.key in progress.done,
        "next": say(progress.next.text) if progress.next is not None and shown is not None else "",
        "before": before,
        "reason": progress.reason,
        "pictures": whole,
        "close": close_up(sewing, shown.step if shown is not None else None, whole),
        "minutes_left": round(progress.minutes_left),
        "minutes_done": round(progress.minutes_done),
        "minutes_all": max(1, round(progress.minutes_done + progress.minutes_left)),
        "form": form or (ReadingForm(shown.reading.kind) if shown is not None and shown.reading else None),
        "help_form": HelpForm(),
        "told": told,
        "good": good,
        "newest": _newest(kit),
    }
    return render(request, "kits/sewing.html", context, status=status)


def show_step(sewing: Sewing, key: str) -> ShownStep | None:
    """The step of that key with its place in its stage, its thread and its reading; None if there is none."""
    plan, progress = sewing.progress.plan, sewing.progress
    for stage in plan.stages:
        for number, step in enumerate(stage.steps, 1):
            if step.key == key:
                at = next((at for at, run in enumerate(plan.runs) if run.name == step.run), -1)
                run = plan.runs[at] if at >= 0 else None
                ends = _ends(sewing, run) if run is not None else ("", "")
                of, reading = len(stage.steps), _reading(sewing, key)
                return ShownStep(stage, step, number, of, run, at + 1, reading, progress.newest(key), *ends)
    return None


def _ends(sewing: Sewing, run: Run) -> tuple[str, str]:
    laid_out = lay_out(sewing.document)
    return say(place_words(laid_out, run.terminals[0])), say(place_words(laid_out, run.terminals[-1]))


def _before(sewing: Sewing, shown: ShownStep | None) -> str:
    """Key of the step that was done before the one shown: what "back" opens."""
    steps = [step for stage in sewing.progress.plan.stages for step in stage.steps]
    at = next((at for at, step in enumerate(steps) if shown is not None and step is shown.step), len(steps))
    return next((step.key for step in reversed(steps[:at]) if step.key in sewing.progress.done), "")


def _reading(sewing: Sewing, key: str) -> Reading | None:
    return next((one for one in sewing.progress.plan.readings if one.key == key), None)


def _newest(kit: Kit) -> int | None:
    return kit.events.order_by("-pk").values_list("pk", flat=True).first()


def _htmx(request: HttpRequest) -> bool:
    return bool(getattr(request, "htmx", False))
