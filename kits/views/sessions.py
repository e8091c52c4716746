"""The sessions of a workshop: when, how far, what to set out, and what was reached."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.sessions import NewSessionForm, SessionForm
from kits.models import Session, Workshop
from kits.services.access import Person, session_for, workshop_for
from kits.services.session_plan import SessionNow, plan_sessions, save_goals
from kits.sheets.for_session import session_plan_for
from kits.sheets.render import pdf
from kits.views.gates import for_teachers
from kits.views.sheets import paper_of, pdf_response

__all__ = ["remove_session", "session", "session_plan", "sessions"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def sessions(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """All sessions with their plan; POST adds one."""
    workshop = workshop_for(person, workshop_id)
    fresh = Session(workshop=workshop, date=timezone.localdate())
    form = NewSessionForm(request.POST if request.method == "POST" else None, instance=fresh)
    if form.is_valid():
        form.save()
        messages.success(request, _("The session is added. The plan is spread anew."))
        return redirect("kits:sessions", workshop.pk)
    context = {
        "person": person,
        "workshop": workshop,
        "form": form,
        "planned": plan_sessions(workshop),
        "today": timezone.localdate(),
        "here": "sessions",
    }
    return render(request, "kits/sessions.html", context, status=400 if form.is_bound else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def session(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """One session: change its day and goals, see what to set out, write what was reached."""
    held = session_for(person, session_id)
    now = _now(held.workshop, held)
    form = SessionForm(now.levels, request.POST if request.method == "POST" else None, instance=held)
    if form.is_valid():
        with transaction.atomic():
            form.save()
            save_goals(held, form.goals())
        messages.success(request, _("Saved."))
        return redirect("kits:session", held.pk)
    if form.is_bound:
        held.refresh_from_db()
    context = {
        "person": person,
        "workshop": held.workshop,
        "now": now,
        "form": form,
        "today": timezone.localdate(),
        "here": "sessions",
    }
    return render(request, "kits/session.html", context, status=400 if form.is_bound else 200)


@require_POST
@for_teachers
def remove_session(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """Remove a session in which nothing was counted."""
    held = session_for(person, session_id)
    if held.tool_counts.exists() or held.closings.exists():
        messages.error(request, _("Tools were counted in this session, so it stays on record."))
        return redirect("kits:session", held.pk)
    held.delete()
    messages.success(request, _("The session is removed. The plan is spread anew."))
    return redirect("kits:sessions", held.workshop_id)


@require_safe
@never_cache
@for_teachers
def session_plan(request: HttpRequest, person: Person, session_id: int) -> HttpResponse:
    """The session plan on paper."""
    held = session_for(person, session_id)
    sheet = session_plan_for(_now(held.workshop, held))
    return pdf_response(pdf([sheet], paper_of(request)), f"session-plan-{held.date:%Y-%m-%d}.pdf")


def _now(workshop: Workshop, held: Session) -> SessionNow:
    return next(one for one in plan_sessions(workshop) if one.session.pk == held.pk)
