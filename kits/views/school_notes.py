"""The page where a teacher writes what stands on every sheet."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.forms.printing import SchoolNotesForm
from kits.services.access import Person
from kits.services.school_notes import notes_of
from kits.views.gates import for_teachers

__all__ = ["school_notes"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def school_notes(request: HttpRequest, person: Person) -> HttpResponse:
    """Poison help line, rules of the school, how long data is kept."""
    assert person.user is not None
    form = SchoolNotesForm(request.POST if request.method == "POST" else None, instance=notes_of(person.user))
    if not form.is_valid():
        status = 400 if form.is_bound else 200
        return render(request, "kits/school_notes.html", {"person": person, "form": form}, status=status)
    form.save()
    messages.success(request, _("Saved. It stands on every sheet that you print from now on."))
    return redirect("kits:school-notes")
