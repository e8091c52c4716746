"""Moving a workshop to a newer revision: what changes for whom, then doing it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.services.access import Person, workshop_for
from kits.services.move_revision import move_kits, moves_of
from kits.views.gates import for_teachers

__all__ = ["move_revision"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def move_revision(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """The moves that are open; POST with `revision` and `kits` moves those kits."""
    workshop = workshop_for(person, workshop_id)
    moves = moves_of(workshop)
    if request.method == "POST":
        move = next((one for one in moves if str(one.new.pk) == request.POST.get("revision")), None)
        ticked = {int(kit) for kit in request.POST.getlist("kits") if kit.isascii() and kit.isdigit() and len(kit) < 19}
        if move is None or not ticked:
            messages.error(request, _("Tick at least one kit that can move."))
            return redirect("kits:move-revision", workshop.pk)
        moved = move_kits(workshop, move.new, ticked, person)
        numbers = ", ".join(map(str, moved)) or _("none")
        messages.success(
            request,
            _("Moved to revision {number}: kits {kits}. Their layouts are kept.").format(
                number=move.new.number, kits=numbers
            ),
        )
        return redirect("kits:move-revision", workshop.pk)
    return render(request, "kits/move_revision.html", {"workshop": workshop, "moves": moves})
