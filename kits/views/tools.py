"""Counting tools out and back: the lists, the count of a session, closing it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.tools import CloseForm, CountForm, HomeForm, ToolsForm, TrayForm
from kits.models import Kit, Session
from kits.services.access import Person, helper_of, session_counted_by, workshop_for
from kits.services.layouts import NotNow
from kits.services.tool_counts import (
    ToolsNow,
    TrayNow,
    cell_back,
    cell_home,
    change_count,
    close_count,
    count_tray,
    read_tools,
    reopen_count,
)
from kits.services.tool_setup import save_tools
from kits.sheets.for_session import tool_count_for
from kits.sheets.render import pdf
from kits.views.gates import for_teachers
from kits.views.kit import try_it
from kits.views.sheets import paper_of, pdf_response

__all__ = ["close_tools", "count_tools", "tool_count", "tool_sheet", "tools"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def tools(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """What is counted, and in which trays."""
    workshop = workshop_for(person, workshop_id)
    form = ToolsForm(workshop, request.POST if request.method == "POST" else None)
    if form.is_valid():
        save_tools(workshop, form.wanted_kinds(), form.wanted_trays())
        messages.success(request, _("Saved what is counted."))
        return redirect("kits:tools", workshop.pk)
    sessions = workshop.sessions.order_by("date", "pk")
    context = {"person": person, "workshop": workshop, "form": form, "sessions": list(sessions), "here": "tools"}
    return render(request, "kits/tools.html", context, status=400 if form.is_bound else 200)


@require_safe
@never_cache
@for_teachers
def tool_count(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """The count of a session: all trays, or one with big buttons; `?way=back` counts back in."""
    return _page(request, person, session_counted_by(person, session_id), request.GET)


@require_POST
@for_teachers
def count_tools(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """One tap on the count of one tray."""
    session = session_counted_by(person, session_id)
    act = _ACTS.get(request.POST.get("action", ""))
    if act is None:
        return redirect("kits:tool-count", session.pk)
    try:
        act(request, session, person)
    except NotNow as refusal:
        messages.error(request, str(refusal))
    if getattr(request, "htmx", False):
        return _page(request, person, session, request.POST)
    tray, way = request.POST.get("tray", ""), "back" if request.POST.get("way") == "back" else "out"
    return redirect(f"{reverse('kits:tool-count', args=[session.pk])}?tray={tray if tray.isdigit() else ''}&way={way}")


@require_POST
@for_teachers
def close_tools(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """Close the count, with a reason if it is short; or open it again."""
    session = session_counted_by(person, session_id)
    if request.POST.get("action") == "open":
        reopen_count(session, person.user)
        return redirect("kits:tool-count", session.pk)
    form = CloseForm(request.POST)
    if form.is_valid():
        reason = form.cleaned_data["reason"]
        if try_it(request, lambda: close_count(session, reason, person.user), _("The count is closed.")):
            return redirect("kits:tool-count", session.pk)
    return _page(request, person, session, {"way": "back"}, closing=form, status=400)


@require_safe
@never_cache
@for_teachers
def tool_sheet(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """The count on paper: what is counted so far, and blanks for the rest."""
    session = session_counted_by(person, session_id)
    name = f"tool-count-{session.date:%Y-%m-%d}.pdf"
    return pdf_response(pdf([tool_count_for(session, read_tools(session))], paper_of(request)), name)


def _change(request: HttpRequest, session: Session, person: Person) -> None:
    form = CountForm(session, request.POST)
    if form.is_valid():
        data = form.cleaned_data
        change_count(session, data["tray"], data["kind"], data["way"], data["change"], person.user)


def _all(request: HttpRequest, session: Session, person: Person) -> None:
    """The whole tray at once: out as usual, or back as it went out."""
    form = TrayForm(session, request.POST)
    if not form.is_valid():
        return
    tray = form.cleaned_data["tray"]
    lines = next((one.lines for one in read_tools(session).trays if one.tray == tray), ())
    way = "back" if request.POST.get("way") == "back" else "out"
    amounts = {line.kind.pk: max(0, line.out - line.home) if way == "back" else line.kind.usual for line in lines}
    count_tray(session, tray, way, amounts, person.user)


def _home(request: HttpRequest, session: Session, person: Person) -> None:
    form = HomeForm(session, request.POST)
    if not form.is_valid():
        raise NotNow(_("Choose the kit in whose object the cell went home."))
    data = form.cleaned_data
    cell_home(session, data["tray"], data["kind"], data["kit"], person.user)


def _not_home(request: HttpRequest, session: Session, person: Person) -> None:
    kit_id = request.POST.get("kit", "")
    kit = session.workshop.kits.filter(pk=kit_id).first() if kit_id.isdigit() else None
    if kit is not None:
        cell_back(session, kit, person.user)


_ACTS: Mapping[str, Callable[[HttpRequest, Session, Person], None]] = {
    "count": _change,
    "all": _all,
    "home": _home,
    "not-home": _not_home,
}


def _page(
    request: HttpRequest,
    person: Person,
    session: Session,
    asked: Mapping[str, object],
    *,
    closing: CloseForm | None = None,
    status: int = 200,
) -> HttpResponse:
    now = read_tools(session)
    position = next((at for at, one in enumerate(now.trays) if str(one.tray.pk) == asked.get("tray")), None)
    context = {
        "person": person,
        "workshop": session.workshop,
        "session": session,
        "now": now,
        "way": "back" if asked.get("way") == "back" else "out",
        "tray": now.trays[position] if position is not None else None,
        "before": now.trays[position - 1] if position else None,
        "after": now.trays[position + 1] if position is not None and position + 1 < len(now.trays) else None,
        "kits_left": _kits_left(session, now, now.trays[position]) if position is not None else (),
        "closing": closing or CloseForm(),
        "only_helps": helper_of(person, session.workshop),
        "here": "tools",
    }
    template = "kits/tray.html" if getattr(request, "htmx", False) else "kits/tool_count.html"
    return render(request, template, context, status=status)


def _kits_left(session: Session, now: ToolsNow, tray: TrayNow) -> list[Kit]:
    """Kits whose cell may still go home: none went home in this session."""
    if not any(line.kind.in_objects for line in tray.lines):
        return []
    gone = {pk for one in now.trays for line in one.lines for pk, _number in line.homes}
    kits = session.workshop.kits.exclude(pk__in=gone).defer("document", "layout", "stages").order_by("number")
    return list(kits.prefetch_related("learners"))
