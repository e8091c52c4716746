"""What is done on the class board to many kits at once, and to all tablets."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from kits.forms.board import BulkForm
from kits.models import Kit, Workshop
from kits.models.codes import grouped
from kits.services import learner_session
from kits.services.accept_sound import accept_sound
from kits.services.access import Person, workshop_for, workshop_held_by
from kits.services.board import read_board
from kits.services.give_example import give_example
from kits.services.layouts import NotNow
from kits.services.short_codes import LASTS, make_short_code
from kits.services.stage_ticks import tick_stage
from kits.views.gates import for_teachers

__all__ = ["bulk", "learners_out", "show_short_codes"]


@require_POST
@for_teachers
def bulk(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Do one thing to all ticked kits, and say what was left out and why. For the teacher, or whoever stands in."""
    workshop = workshop_held_by(person, workshop_id)
    form = BulkForm(workshop, read_board(workshop).stages, request.POST)
    if not form.is_valid():
        for error in (error for errors in form.errors.values() for error in errors):
            messages.error(request, str(error))
    else:
        if form.cleaned_data["action"] == "short-codes":
            return show_short_codes(request, person, workshop, form.cleaned_data["kits"])
        _BULK[form.cleaned_data["action"]](request, workshop, form, person)
    return redirect("kits:board", workshop.pk)


@require_POST
@for_teachers
def learners_out(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """End the sign-in of every learner of the class."""
    workshop = workshop_for(person, workshop_id)
    learner_session.sign_all_out(workshop)
    messages.success(request, _("Every tablet is signed out. With the code of its label each kit opens again."))
    return redirect("kits:board", workshop.pk)


@never_cache
def show_short_codes(request: HttpRequest, person: Person, workshop: Workshop, kits: Sequence[Kit]) -> HttpResponse:
    """A fresh short code for each kit, told this once."""
    codes = [(kit, grouped(make_short_code(kit))) for kit in kits]
    minutes = int(LASTS.total_seconds() // 60)
    context = {"person": person, "workshop": workshop, "codes": codes, "minutes": minutes}
    return render(request, "kits/short_codes.html", context)


def _accept(request: HttpRequest, workshop: Workshop, form: BulkForm, person: Person) -> None:
    done = accept_sound(workshop, form.cleaned_data["kits"], person)
    _tell(request, messages.SUCCESS, _("Accepted, ready to sew: {kits}."), done.accepted)
    _tell(request, messages.WARNING, _("Not accepted, something must be put right: {kits}."), done.held_back)
    _tell(request, messages.WARNING, _("No layout to accept: {kits}."), done.nothing)


def _give(request: HttpRequest, workshop: Workshop, form: BulkForm, person: Person) -> None:
    done = give_example(workshop, form.cleaned_data["kits"], person)
    _tell(request, messages.SUCCESS, _("Example layout given to {kits}. You can accept it now."), done.given)
    _tell(request, messages.WARNING, _("Left alone, since they sew already: {kits}."), done.sewing)
    _tell(request, messages.WARNING, _("Left alone, since their circuit is their own: {kits}."), done.own_circuit)


def _tick(request: HttpRequest, workshop: Workshop, form: BulkForm, person: Person) -> None:
    ticked, refused = [], []
    for kit in form.cleaned_data["kits"]:
        try:
            tick_stage(kit, form.cleaned_data["stage"], person)
        except NotNow:
            refused.append(kit.number)
        else:
            ticked.append(kit.number)
    _tell(request, messages.SUCCESS, _("Stage ticked for {kits}."), ticked)
    _tell(request, messages.WARNING, _("Not ticked, since no layout is accepted yet: {kits}."), refused)


def _tell(request: HttpRequest, level: int, text: str, kits: Sequence[int]) -> None:
    if kits:
        named = ngettext("kit {numbers}", "kits {numbers}", len(kits)).format(numbers=", ".join(map(str, kits)))
        messages.add_message(request, level, text.format(kits=named))


def _seat(request: HttpRequest, workshop: Workshop, form: BulkForm, person: Person) -> None:
    kits, table = form.cleaned_data["kits"], form.cleaned_data["table"]
    workshop.kits.filter(pk__in=[kit.pk for kit in kits]).update(table=table)
    done = _("At table {table}: {kits}.").replace("{table}", table) if table else _("At no table: {kits}.")
    _tell(request, messages.SUCCESS, done, [kit.number for kit in kits])


_Action = Callable[[HttpRequest, Workshop, BulkForm, Person], None]
_BULK: dict[str, _Action] = {"accept": _accept, "give-example": _give, "tick-stage": _tick, "set-table": _seat}
