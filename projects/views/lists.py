"""The list of projects, a new one, a copy."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.forms.new_project import NewProject
from projects.importing import import_project
from projects.models import Project
from projects.sharing import copy_project
from projects.views.common import seen, user_of

__all__ = ["copy", "new", "projects"]

PER_PAGE = 20


@require_safe
@login_required
def projects(request: HttpRequest) -> HttpResponse:
    """All projects of this user, and those that are shared with them."""
    published = Count("revisions", filter=Q(revisions__published_at__isnull=False))
    found = Project.objects.seen_by(request.user).select_related("owner").annotate(published=published)
    page = Paginator(found.order_by("title", "pk"), PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "projects/list.html", {"page": page})


@require_http_methods(["GET", "HEAD", "POST"])
@login_required
def new(request: HttpRequest) -> HttpResponse:
    """A project from nothing: title, a piece of fabric, a cell."""
    form = NewProject(request.POST) if request.method == "POST" else NewProject()
    if form.is_valid():
        project = import_project(user_of(request), form.cleaned_data["document"])
        return redirect("projects:section", project.pk, "circuit")
    return render(request, "projects/new.html", {"form": form}, status=400 if form.is_bound else 200)


@require_POST
@login_required
def copy(request: HttpRequest, project_id: int) -> HttpResponse:
    """A project of one's own after another."""
    project = copy_project(seen(request, project_id), user_of(request))
    messages.success(request, _("This is your own copy. What you change here changes nothing in the other."))
    return redirect("projects:page", project.pk)
