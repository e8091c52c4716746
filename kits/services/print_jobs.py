"""Asking for a class pack, giving it up, and looking after jobs whose worker was killed.

The making itself is in `kits/services/print_pack.py`, which runs in the background worker.
"""

from __future__ import annotations

import shutil
import time
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks_db.models import DBTaskResult

from kits.models import PrintJob, Workshop
from kits.models.print_job import KEPT, SILENT
from kits.services.access import Person
from kits.tasks import make_print_job

__all__ = [
    "NO_WORKER",
    "PackWishes",
    "ask_for_pack",
    "cancel_job",
    "job_of",
    "look_after",
    "newest_job",
    "remove_old_jobs",
    "start_again",
    "waits_in_vain",
]

NO_WORKER = timedelta(seconds=20)
"""A job that waits longer than this probably has no worker to wait for."""


@dataclass(frozen=True)
class PackWishes:
    """What a pack holds: names of sheets, ids of kits, paper, units, and the language of its words."""

    sheets: tuple[str, ...]
    kits: tuple[int, ...]
    paper: str
    units: str
    language: str


def ask_for_pack(user: User, workshop: Workshop, wishes: PackWishes) -> PrintJob:
    """Put a pack into the queue; a pack of the same teacher and class that is still in the making is given up."""
    with transaction.atomic():
        for open_job in PrintJob.objects.filter(owner=user, workshop=workshop, state__in=_OPEN):
            cancel_job(open_job)
        job = PrintJob.objects.create(workshop=workshop, owner=user, options=asdict(wishes), total=len(wishes.kits))
        _enqueue(job)
    return job


def job_of(person: Person, job_id: int) -> PrintJob:
    """A job of this person's own, for a class that they teach; raises Http404 for any other."""
    if person.user is None:
        raise Http404
    jobs = PrintJob.objects.select_related("workshop").filter(owner=person.user)
    return get_object_or_404(jobs, pk=job_id, workshop__in=Workshop.objects.taught_by(person.user))


def newest_job(user: User, workshop: Workshop) -> PrintJob | None:
    """The newest job of this teacher for this class, looked after."""
    job = PrintJob.objects.filter(owner=user, workshop=workshop).first()
    return look_after(job) if job is not None else None


def cancel_job(job: PrintJob) -> None:
    """Give a job up: at once if it waits, within a second or so if it runs."""
    waiting = PrintJob.objects.filter(pk=job.pk, state=PrintJob.State.WAITING)
    if waiting.update(state=PrintJob.State.CANCELLED, ended_at=timezone.now()):
        _drop_task(job)
    else:
        PrintJob.objects.filter(pk=job.pk, state=PrintJob.State.RUNNING).update(cancel_asked=True)
    job.refresh_from_db()


def start_again(job: PrintJob) -> None:
    """Do a job that failed or was given up once more, with the same wishes."""
    with transaction.atomic():
        ended = PrintJob.objects.filter(pk=job.pk).exclude(state__in=[*_OPEN, PrintJob.State.DONE])
        fresh = {"done": 0, "doing": "", "why": "", "cancel_asked": False, "alive_at": None, "ended_at": None}
        if ended.update(state=PrintJob.State.WAITING, asked_at=timezone.now(), **fresh):
            job.refresh_from_db()
            _enqueue(job)


def look_after(job: PrintJob) -> PrintJob:
    """The job as it is; one whose worker was killed half-way is marked failed, and so is its task.

    A killed worker leaves both as *running*, and nobody else would ever end them.
    """
    last = job.alive_at or job.asked_at
    if job.state == PrintJob.State.RUNNING and timezone.now() - last > SILENT:
        why = _("It was interrupted half-way: the program was stopped. Nothing is lost; start it again.")
        mine = PrintJob.objects.filter(pk=job.pk, state=PrintJob.State.RUNNING, alive_at=job.alive_at)
        if mine.update(state=PrintJob.State.FAILED, why=why, ended_at=timezone.now()):
            _drop_task(job)
        job.refresh_from_db()
    return job


def waits_in_vain(job: PrintJob) -> bool:
    """Whether it has waited so long that probably no worker runs."""
    return job.state == PrintJob.State.WAITING and timezone.now() - job.asked_at > NO_WORKER


def remove_old_jobs() -> None:
    """Delete jobs that ended more than a week ago, with their files, and what a killed worker left half done."""
    for job in PrintJob.objects.filter(asked_at__lt=timezone.now() - KEPT).exclude(state__in=_OPEN):
        if job.gone_at < timezone.now():
            job.delete()
    known = set(PrintJob.objects.exclude(file="").values_list("file", flat=True))
    folder = Path(settings.DATA_DIR) / "print-jobs"
    for path in folder.iterdir() if folder.is_dir() else ():
        if path.name not in known and path.stat().st_mtime < time.time() - _LEFT_OVER.total_seconds():
            shutil.rmtree(path) if path.is_dir() else path.unlink(missing_ok=True)


_LEFT_OVER = timedelta(hours=6)
_OPEN = (PrintJob.State.WAITING, PrintJob.State.RUNNING)


def _enqueue(job: PrintJob) -> None:
    job.task_id = str(make_print_job.enqueue(job.pk).id)
    job.save(update_fields=["task_id"])


def _drop_task(job: PrintJob) -> None:
    """End the row of a task that will not run any more, so that no worker picks it up."""
    rows = DBTaskResult.objects.filter(pk=job.task_id) if job.task_id else DBTaskResult.objects.none()
    rows.exclude(status="SUCCESSFUL").update(status="FAILED", finished_at=timezone.now())
