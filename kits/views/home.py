"""Home: today first, then what waits, then projects; on an empty site, what to do first."""

from __future__ import annotations

from datetime import time

from django.contrib.auth.models import User
from django.db.models import Count, Exists, OuterRef, Prefetch, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from kits.demo.own_projects import has_examples
from kits.models import Session, Workshop
from kits.models.workshop import covered_today
from kits.services.access import person_of
from kits.services.to_do import looks_due, waiting_submissions
from kits.views.gates import to_sign_in
from projects.models import Project

__all__ = ["home"]

SHOWN = 8


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """A teacher's or helper's day; a learner's kit; for nobody, the sign-in page."""
    person = person_of(request)
    if person.kind == "learner":
        return redirect("kits:my-kit")
    if person.user is None:
        return to_sign_in(request)
    user = person.user
    today = timezone.localdate()
    workshops = (
        Workshop.objects.staffed_by(user).annotate(kit_count=Count("kits", distinct=True)).order_by("-created", "-pk")
    )
    # A day to cover may have no session; whoever covers it must find the class all the same.
    workshops = workshops.annotate(covers_today=covered_today(user))
    meets = Exists(Session.objects.filter(workshop=OuterRef("pk"), date=today))
    today_sessions = Prefetch("sessions", Session.objects.filter(date=today), to_attr="sessions_today")
    now = list(workshops.filter(meets | Q(covers_today=True)).prefetch_related(today_sessions))
    now.sort(key=_begins)
    others = workshops.exclude(meets | Q(covers_today=True))[:SHOWN]
    context = {
        "person": person,
        "today": now,
        "due": looks_due(now),
        "covers": list(user.covers.select_related("workshop").filter(day__gt=today)),
        "has_examples": has_examples(user),
        "others": list(others),
        "waiting": waiting_submissions(user),
        "projects": list(_projects(user)[:SHOWN]),
    }
    return render(request, "kits/home.html", context)


def _begins(workshop: Workshop) -> time:
    """When the class meets today; last where nobody has said it."""
    return min((one.starts for one in workshop.sessions_today if one.starts), default=time.max)  # type: ignore[attr-defined]


def _projects(user: User) -> list[Project]:
    published = Count("revisions", filter=Q(revisions__published_at__isnull=False))
    return Project.objects.seen_by(user).annotate(published=published).order_by("title", "pk")  # type: ignore[return-value]
