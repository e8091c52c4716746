"""Quick start: a project, a number of kits, print. And the demo's projects, to look around with."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from kits.demo.own_projects import load_examples, remove_examples
from kits.forms.set_up import QuickStartForm
from kits.services.access import Person
from kits.services.create_workshop import create_workshop
from kits.views.gates import for_teachers

__all__ = ["demo_projects", "quick_start"]

MINUTES = 90


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def quick_start(request: HttpRequest, person: Person) -> HttpResponse:
    """A workshop of numbered kits with a session today; then straight to print."""
    assert person.user is not None
    form = QuickStartForm(person.user, request.POST if request.method == "POST" else None)
    if not form.is_valid():
        status = 400 if form.is_bound else 200
        return render(request, "kits/quick_start.html", {"person": person, "form": form}, status=status)
    revision, kits, today = form.cleaned_data["revision"], form.cleaned_data["kits"], timezone.localdate()
    title = f"{revision.project.title}, {date_format(today, 'j F')}"[:120]
    workshop = create_workshop(person.user, title, "", revision, kits, today, MINUTES)
    text = ngettext(
        "{count} kit is made, with a code of its own. Print what you want of it.",
        "{count} kits are made, each with a code of its own. Print what you want of them.",
        kits,
    )
    messages.success(request, text.format(count=kits))
    return redirect("kits:print", workshop.pk)


@require_POST
@for_teachers
def demo_projects(request: HttpRequest, person: Person) -> HttpResponse:
    """Load the three demo projects as this teacher's own, or remove them again."""
    assert person.user is not None
    if request.POST.get("action") == "remove":
        came = remove_examples(person.user)
        if came.removed:
            messages.success(request, _("Removed: {titles}.").format(titles=", ".join(came.removed)))
        if came.kept:
            text = _("Kept, since a class makes it or it was changed: {titles}.")
            messages.warning(request, text.format(titles=", ".join(came.kept)))
    elif request.POST.get("action") == "load":
        made = load_examples(person.user)
        titles = ", ".join(project.title for project in made)
        if made:
            messages.success(request, _("Loaded and ready for a class: {titles}.").format(titles=titles))
        else:
            messages.info(request, _("You have all three already."))
    return redirect("kits:home")
