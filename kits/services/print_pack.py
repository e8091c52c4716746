"""Making a class pack: all chosen sheets of all chosen kits as one PDF in the data folder."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Iterator

from django.db import connection
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from kits.models import Kit, PrintJob
from kits.sheets.content import Heading, Sheet, safety_cards
from kits.sheets.for_class import substitute_page_for
from kits.sheets.for_kit import KIT_SHEETS, KitOnPaper, Wishes, card_of, words_of
from kits.sheets.html import HtmlSheet, to_html
from kits.sheets.pack import Stopped, make_pack
from kits.sheets.render import Paper

__all__ = ["CLASS_SHEETS", "JOINING", "run_job"]

CLASS_SHEETS = ("substitute-page",)
"""Sheets of a pack that are for the class, not for each kit."""

JOINING = "join"
"""What a job is doing when all sheets are laid out."""

_IN_A_BATCH = 4  # sheets that share one file, and so one set of fonts, until all are joined
_CARDS = "safety-card"  # two to a page, so these come last, together

log = logging.getLogger(__name__)


def run_job(job_id: int) -> None:
    """Make the file of a job that waits; its state says what came of it. A job that does not wait is left alone."""
    begun = PrintJob.objects.filter(pk=job_id, state=PrintJob.State.WAITING)
    if not begun.update(state=PrintJob.State.RUNNING, alive_at=timezone.now(), done=0):
        return
    job = PrintJob.objects.select_related("workshop", "owner").get(pk=job_id)
    try:
        with translation.override(job.options.get("language", "en")):
            pages = _make(job)
    except Stopped:
        _end(job, PrintJob.State.CANCELLED)
    except BaseException as error:  # a worker that is told to end raises SystemExit here
        _end(job, PrintJob.State.FAILED, why=_why(error))
        raise
    else:
        _end(job, PrintJob.State.DONE, file=job.file, pages=pages)


def _make(job: PrintJob) -> int:
    job.file = f"{job.pk}-{secrets.token_hex(8)}.pdf"
    paper: Paper = "Letter" if job.options["paper"] == "Letter" else "A4"
    making = _Making(job)
    if not connection.in_atomic_block:
        connection.close()  # forked processes must not share it; it is opened anew when it is next needed
    return make_pack(making.batches(), paper, job.path, making.go_on, title=f"{job.workshop} – {_('Class pack')}")


def _end(job: PrintJob, state: PrintJob.State, **fields: object) -> None:
    PrintJob.objects.filter(pk=job.pk, state=PrintJob.State.RUNNING).update(
        state=state, ended_at=timezone.now(), doing="", **fields
    )


def _why(error: BaseException) -> str:
    if isinstance(error, Exception):
        log.error("Print job failed", exc_info=error)
        return _(
            "Something went wrong while the sheets were laid out. Start it again; if that fails too, print kit by kit."
        )
    return _("It was interrupted half-way: the program was stopped. Nothing is lost; start it again.")


class _Making:
    """The sheets of a job as they are needed, and what the job says of itself meanwhile."""

    def __init__(self, job: PrintJob) -> None:
        self.job = job
        self.wishes = Wishes("inch" if job.options["units"] == "inch" else "cm", words_of(job.owner_id))
        self.kits_until: list[int] = []  # kits that are whole once so many batches are done

    def batches(self) -> Iterator[list[HtmlSheet]]:
        """A few sheets at a time: those for the class, then kit by kit, then the cards of all kits."""
        chosen = self.job.options["sheets"]
        first = [to_html(sheet) for sheet in self._class_sheets(chosen)]
        if first:
            yield self._counted(first, 0)
        batch: list[HtmlSheet] = []
        cards = []
        for number, kit in enumerate(self._kits(), 1):
            self.job.doing = str(kit.number)
            on = KitOnPaper(kit)
            names = [name for name in KIT_SHEETS if name in chosen and name != _CARDS]
            batch += [to_html(KIT_SHEETS[name].make(on, self.wishes)) for name in names]
            if _CARDS in chosen:
                cards.append(card_of(on))
            if len(batch) >= _IN_A_BATCH:
                yield self._counted(batch, number)
                batch = []
        if cards:
            heading = Heading(self.job.workshop.title, workshop=self.job.workshop.title)
            batch.append(to_html(safety_cards(heading, cards, self.wishes.school)))
        self.job.doing = JOINING
        if batch:
            yield self._counted(batch, self.job.total)

    def _counted(self, batch: list[HtmlSheet], kits: int) -> list[HtmlSheet]:
        self.kits_until.append(kits)
        return batch

    def _class_sheets(self, chosen: list[str]) -> Iterator[Sheet]:
        if "substitute-page" in chosen:
            yield substitute_page_for(self.job.workshop, self.wishes.school)

    def _kits(self) -> Iterator[Kit]:
        """Only kits of the job's own class, whatever its options hold."""
        kits = self.job.workshop.kits.filter(pk__in=self.job.options["kits"]).order_by("number")
        yield from kits.select_related("workshop", "revision__project").prefetch_related("learners")

    def go_on(self, done: int) -> bool:
        """Say that the job is alive and how far it is; False once it was given up (or its class was deleted)."""
        kits = self.kits_until[done - 1] if 0 < done <= len(self.kits_until) else 0
        mine = PrintJob.objects.filter(pk=self.job.pk, state=PrintJob.State.RUNNING)
        mine.update(alive_at=timezone.now(), done=kits, doing=self.job.doing)
        return mine.filter(cancel_asked=False).exists()
