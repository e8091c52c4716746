"""The class board: kits × stages, who waits for help, and what is done to many kits at once."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from kits.forms.board import BulkForm
from kits.models import Workshop
from kits.services.accept_sound import accept_sound
from kits.services.access import Person, WorkshopNow, helper_of, kit_seen_by, workshop_for, workshop_seen_by
from kits.services.board import Board, BoardRow, read_board
from kits.services.calls_for_help import answer_help
from kits.services.give_example import give_example
from kits.services.layouts import NotNow
from kits.services.stage_ticks import tick_stage
from kits.views.gates import for_teachers

__all__ = ["board", "board_rows", "bulk", "help_given"]


@require_safe
@for_teachers
def board(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The whole board."""
    return render(request, "kits/board.html", _context(person, workshop_seen_by(person, workshop_id)))


@require_safe
@for_teachers
def board_rows(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The part of the board that changes; no body while nothing has happened since event `since`."""
    now = workshop_seen_by(person, workshop_id)
    if request.GET.get("since") == str(now.newest_event):
        return HttpResponse(status=204)
    return render(request, "kits/board_rows.html", _context(person, now))


@require_POST
@for_teachers
def bulk(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Do one thing to all ticked kits, and say what was left out and why."""
    workshop = workshop_for(person, workshop_id)
    form = BulkForm(workshop, read_board(workshop).stages, request.POST)
    if not form.is_valid():
        for error in (error for errors in form.errors.values() for error in errors):
            messages.error(request, str(error))
    else:
        _BULK[form.cleaned_data["action"]](request, workshop, form, person)
    return redirect("kits:board", workshop.pk)


@require_POST
@for_teachers
def help_given(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Someone has been at this table."""
    kit = kit_seen_by(person, kit_id)
    answer_help(kit, person)
    if getattr(request, "htmx", False):
        return render(request, "kits/board_rows.html", _context(person, workshop_seen_by(person, kit.workshop_id)))
    return redirect("kits:board", kit.workshop_id)


def _context(person: Person, now: WorkshopNow) -> dict[str, object]:
    read = read_board(now.workshop)
    return {
        "person": person,
        "workshop": now.workshop,
        "now": now,
        "board": read,
        "rows": _rows(read),
        "looks": [(row, read.title(row.state.waiting_for_look or "")) for row in read.to_look_at],
        "kits_at": reverse("kits:kit", args=[0]).removesuffix("0/"),
        "only_helps": helper_of(person, now.workshop),
        "today": now.next_day == timezone.localdate(),
    }


def _rows(read: Board) -> list[tuple[BoardRow, SafeString, SafeString]]:
    """Each row with its state and its cells in markup: each kind of cell is rendered once, not once a kit."""
    states = {row.state.phase: row.state for row in read.rows}
    phases = {phase: _part("phase", state=state) for phase, state in states.items()}
    cells = {cell: _part("board_cell", state=cell) for cell in {cell for row in read.rows for cell in row.cells}}
    return [(row, phases[row.state.phase], SafeString("".join(cells[cell] for cell in row.cells))) for row in read.rows]


def _part(template: str, **context: object) -> SafeString:
    return render_to_string(f"kits/{template}.html", context)


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


_BULK = {"accept": _accept, "give-example": _give, "tick-stage": _tick}
