"""The class board: kits × stages, who waits for help, and what is done to many kits at once."""

from __future__ import annotations

import time

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from kits.services.access import (
    Person,
    WorkshopNow,
    helper_of,
    kit_seen_by,
    workshop_held_by,
    workshop_seen_by,
)
from kits.services.attendance import set_absent
from kits.services.board import read_board
from kits.services.calls_for_help import answer_help
from kits.views.board_markup import RowLinks, board_rows_markup
from kits.views.gates import for_teachers

__all__ = ["attendance", "board", "board_rows", "help_given"]

HIDDEN = "board_hidden"
"""The cookie that says that names and pace are hidden, so that no page shows them for a moment first."""
MINUTE = 60


@require_safe
@for_teachers
def board(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The whole board; `names=hide` and `names=show` for the projector."""
    now = workshop_seen_by(person, workshop_id)
    if (names := request.GET.get("names")) in ("hide", "show"):
        answer = redirect("kits:board", workshop_id)
        answer.set_cookie(HIDDEN, "1" if names == "hide" else "", samesite="Lax")
        return answer
    context = {**_context(person, now), "hidden": request.COOKIES.get(HIDDEN) == "1"}
    return render(request, "kits/board.html", context)


@require_safe
@for_teachers
def board_rows(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The part of the board that changes; no body while nothing has happened since event `since`.

    Who is stuck changes with time alone: a board of a minute `at` that is over is sent anew.
    """
    now = workshop_seen_by(person, workshop_id)
    same_minute = request.GET.get("at", str(_minute())) == str(_minute())
    if same_minute and request.GET.get("since") == str(now.newest_event):
        return HttpResponse(status=204)
    return render(request, "kits/board_rows.html", _context(person, now))


@require_POST
@for_teachers
def help_given(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Someone has been at this table."""
    kit = kit_seen_by(person, kit_id)
    answer_help(kit, person)
    return _rows_again(request, person, kit.workshop_id)


@require_POST
@for_teachers
def attendance(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """One tap: a learner is absent today, or is there after all. For the teacher, or whoever stands in."""
    workshop = workshop_held_by(person, workshop_id)
    absent = "away" in request.POST
    kit_id, _dot, learner_id = request.POST.get("away" if absent else "here", "").partition(".")
    if kit_id.isdecimal() and learner_id.isdecimal():
        kit = get_object_or_404(workshop.kits, pk=kit_id)
        set_absent(kit, get_object_or_404(kit.learners, pk=learner_id), absent, person)
    return _rows_again(request, person, workshop.pk)


def _rows_again(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    if getattr(request, "htmx", False):
        return render(request, "kits/board_rows.html", _context(person, workshop_seen_by(person, workshop_id)))
    return redirect("kits:board", workshop_id)


def _context(person: Person, now: WorkshopNow) -> dict[str, object]:
    today = now.next_day == timezone.localdate()
    read = read_board(now.workshop, now.hours if today else None)
    only_helps = helper_of(person, now.workshop)
    holds = now.covers or not only_helps
    links = RowLinks(
        kits_at=reverse("kits:kit", args=[0]).removesuffix("0/"),
        attendance_at=reverse("kits:attendance", args=[now.workshop.pk]),
        may_tick=holds,
        may_count=holds,
        today=today,
    )
    return {
        "person": person,
        "workshop": now.workshop,
        "now": now,
        "board": read,
        "rows": board_rows_markup(read.rows, links),
        "looks": [(row, read.title(row.state.waiting_for_look or "")) for row in read.to_look_at],
        "only_helps": only_helps,
        "holds": holds,
        "today": today,
        "minute": _minute(),
        "minutes_left": None if read.minutes_left is None else round(read.minutes_left),
    }


def _minute() -> int:
    return int(time.time()) // MINUTE
