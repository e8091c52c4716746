"""Printing for a whole class: choose, wait while it is made, fetch."""

from __future__ import annotations

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import get_language
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.printing import PackForm
from kits.models import PrintJob, Workshop
from kits.services.access import Person, workshop_for
from kits.services.print_jobs import (
    PackWishes,
    ask_for_pack,
    cancel_job,
    job_of,
    look_after,
    newest_job,
    remove_old_jobs,
    start_again,
    waits_in_vain,
)
from kits.services.print_pack import JOINING
from kits.views.gates import for_teachers

__all__ = ["print_again", "print_cancel", "print_file", "print_page", "print_panel"]


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def print_page(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Choose sheets and kits; POST starts the pack. The newest pack stands above, with how far it is."""
    assert person.user is not None
    workshop = workshop_for(person, workshop_id)
    form = PackForm(workshop, request.POST if request.method == "POST" else None, initial=_FIRST)
    if not form.is_valid():
        remove_old_jobs()
        job = newest_job(person.user, workshop)
        context = {"person": person, "workshop": workshop, "form": form, "job": job, **_words(job)}
        return render(request, "kits/print.html", context, status=400 if form.is_bound else 200)
    data = form.cleaned_data
    kits = tuple(kit.pk for kit in data["kits"])
    wishes = PackWishes(tuple(data["sheets"]), kits, data["paper"], data["units"], get_language() or "en")
    ask_for_pack(person.user, workshop, wishes)
    return _to_page(workshop)


_FIRST = {"sheets": ["step-sheet"], "paper": "A4", "units": "cm"}


@never_cache
@require_safe
@for_teachers
def print_panel(request: HttpRequest, person: Person, job_id: int) -> HttpResponse:
    """How far a job is: the part of the page that asks for itself anew while the job is open."""
    job = look_after(job_of(person, job_id))
    return render(request, "kits/print_panel.html", {"job": job, "workshop": job.workshop, **_words(job)})


@require_POST
@for_teachers
def print_cancel(request: HttpRequest, person: Person, job_id: int) -> HttpResponse:
    """Give a job up."""
    job = job_of(person, job_id)
    cancel_job(job)
    return _to_page(job.workshop)


@require_POST
@for_teachers
def print_again(request: HttpRequest, person: Person, job_id: int) -> HttpResponse:
    """Start a job that failed or was given up once more."""
    job = look_after(job_of(person, job_id))
    start_again(job)
    return _to_page(job.workshop)


@never_cache
@require_safe
@for_teachers
def print_file(request: HttpRequest, person: Person, job_id: int) -> HttpResponseBase:
    """The finished file, for a week."""
    job = job_of(person, job_id)
    if job.state != PrintJob.State.DONE or job.gone_at < timezone.now() or not job.path.is_file():
        raise Http404
    name = f"class-pack-{job.workshop.pk}-{job.pk}.pdf"
    return FileResponse(job.path.open("rb"), content_type="application/pdf", filename=name)


def _to_page(workshop: Workshop) -> HttpResponse:
    return redirect("kits:print", workshop.pk)


def _words(job: PrintJob | None) -> dict[str, object]:
    if job is None:
        return {}
    joining = job.doing == JOINING and job.done >= job.total
    return {"joining": joining, "no_worker": waits_in_vain(job), "there": job.file and job.path.is_file()}
