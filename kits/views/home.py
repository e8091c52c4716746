"""Home: today first, then what waits, then projects; on an empty site, what to do first."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from kits.models import Workshop
from kits.services.access import person_of
from kits.services.to_do import waiting_submissions
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
    now = list(workshops.filter(sessions__date=today).distinct())
    others = workshops.exclude(sessions__date=today)[:SHOWN]
    context = {
        "person": person,
        "today": now,
        "others": list(others),
        "waiting": waiting_submissions(user),
        "projects": list(_projects(user)[:SHOWN]),
    }
    return render(request, "kits/home.html", context)


def _projects(user: User) -> list[Project]:
    published = Count("revisions", filter=Q(revisions__published_at__isnull=False))
    return Project.objects.seen_by(user).annotate(published=published).order_by("title", "pk")  # type: ignore[return-value]
