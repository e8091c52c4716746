"""Deleting personal data: of a whole workshop, or of one learner. What is counted stays.

Kept are kits by their number, layouts, stages, times, readings, marks and stock; gone are names, hands, free text,
photos and printed files. Names are taken out of whatever else was written, too.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property, partial

from django.contrib.admin.models import LogEntry
from django.contrib.contenttypes.models import ContentType
from django.db import connection, transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks_db.models import DBTaskResult

from kits.models import (
    ClosingReason,
    Event,
    Kit,
    KitLearner,
    Learner,
    LetPass,
    Mark,
    MarkComment,
    Photo,
    PrintJob,
    Remark,
    SessionGoal,
    StockItem,
    StockMovement,
    StockOffer,
    Submission,
    ToolKind,
    ToolTray,
    Workshop,
)
from kits.models.codes import new_code
from kits.services.layouts import NotNow
from kits.services.without_names import Names, strings_in
from projects.circuit.catalogue import catalogue
from projects.models import Revision

__all__ = ["ToErase", "erase_learner", "erase_personal_data", "what_to_erase"]


@dataclass(frozen=True)
class ToErase:
    """How much there is to delete in a workshop."""

    names: int
    texts: int
    photos: int
    files: int


def what_to_erase(workshop: Workshop) -> ToErase:
    """What deleting the personal data of a workshop would delete; changes nothing."""
    texts = (
        Remark.objects.filter(event__workshop=workshop).exclude(text="").count()
        + LetPass.objects.filter(kit__workshop=workshop).exclude(reason="").count()
        + ClosingReason.objects.filter(closing__session__workshop=workshop).exclude(text="").count()
        + MarkComment.objects.filter(kit__workshop=workshop).exclude(text="").count()
        + workshop.sessions.exclude(note="").count()
    )
    return ToErase(
        workshop.learners.exclude(display_name="").count(),
        texts,
        Photo.objects.filter(kit__workshop=workshop).count(),
        workshop.print_jobs.count(),
    )


def erase_personal_data(workshop: Workshop) -> None:
    """Delete all names, hands, free text, photos and printed files of a workshop, and end every kit's code.

    Raises NotNow while a pack with names in it is being made.
    """
    with transaction.atomic():
        held = Workshop.objects.select_for_update().get(pk=workshop.pk)
        names = list(held.learners.exclude(display_name="").values_list("display_name", flat=True))
        _drop_prints(held)
        Remark.objects.filter(event__workshop=held).update(text="")
        LetPass.objects.filter(kit__workshop=held).update(reason="")
        ClosingReason.objects.filter(closing__session__workshop=held).update(text="")
        MarkComment.objects.filter(kit__workshop=held).delete()
        held.sessions.update(note="")
        Photo.objects.filter(kit__workshop=held).delete()  # and the files: see `when_deleted`
        _take_out(held, names)
        KitLearner.objects.filter(kit__workshop=held).delete()
        held.learners.update(display_name="", left_handed=False, photos_allowed=False)
        for kit in held.kits.only("pk"):
            Kit.objects.filter(pk=kit.pk).update(code=new_code(), table="")
        Workshop.objects.filter(pk=held.pk).update(names_erased_at=timezone.now())
        transaction.on_commit(_empty_journal)


def erase_learner(learner: Learner) -> None:
    """Delete the personal data of one learner: name, hand, marks, photos, and what they or others wrote of them.

    A kit that nobody else makes gets a new code. Raises NotNow while a pack with the name in it is being made.
    """
    with transaction.atomic():
        workshop = Workshop.objects.select_for_update().get(pk=learner.workshop_id)
        held = Learner.objects.get(pk=learner.pk)
        _drop_prints(workshop)
        kits = list(held.kits.all())
        alone = [kit for kit in kits if kit.learners.count() == 1]
        theirs = Q(event__learner=held) | Q(event__kit__in=alone)
        Remark.objects.filter(theirs).update(text="")
        LetPass.objects.filter(kit__in=alone).update(reason="")
        Mark.objects.filter(learner=held).delete()
        MarkComment.objects.filter(learner=held).delete()
        # In a photo of an object that two share both may be seen.
        Photo.objects.filter(Q(learner=held) | Q(kit__in=kits)).delete()
        _take_out(workshop, [held.display_name])
        KitLearner.objects.filter(learner=held).delete()
        Learner.objects.filter(pk=held.pk).update(display_name="", left_handed=False, photos_allowed=False)
        for kit in alone:
            Kit.objects.filter(pk=kit.pk).update(code=new_code())
        transaction.on_commit(_empty_journal)


def _empty_journal() -> None:
    """SQLite keeps what was written last in a journal beside its file, old and new; PostgreSQL sees to its own."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:  # within a transaction it cannot be emptied
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _drop_prints(workshop: Workshop) -> None:
    """Printed files hold names; so may what a failed task left behind."""
    jobs = list(workshop.print_jobs.all())
    if any(job.state == PrintJob.State.RUNNING for job in jobs):
        raise NotNow(_("A class pack is being made just now. Wait for it or stop it, then delete the data."))
    DBTaskResult.objects.filter(pk__in=[job.task_id for job in jobs if job.task_id]).delete()
    for job in jobs:
        if job.file:
            transaction.on_commit(partial(job.path.unlink, missing_ok=True))
        job.delete()


def _take_out(workshop: Workshop, people: Collection[str]) -> None:
    """Take these names out of all else that was written in a workshop, or of its teacher's stock."""
    out = _TakingOut(workshop, Names(people))
    out.kits()
    out.texts()
    out.named_after()
    out.once_written()


class _TakingOut:
    """Rewrites rows that hold a name; past the managers that refuse to, since this is what a person has a right to."""

    def __init__(self, workshop: Workshop, names: Names) -> None:
        self.workshop, self.names = workshop, names

    @cached_property
    def _ours(self) -> set[str]:
        """Words of the projects and the catalogue: a part called like a learner is not about the learner."""
        used = Q(kits__workshop=self.workshop) | Q(project__owner=self.workshop.owner)
        documents = dict(Revision.objects.filter(used).values_list("pk", "document"))
        types = [kind.model_dump(mode="json") for kind in catalogue().values()]
        return {text for value in (*documents.values(), types) for text in strings_in(value)}

    def _json(self, value: object) -> object:
        return self.names.out_of_json(value, self._ours)

    def kits(self) -> None:
        for kit in self.workshop.kits.all():
            before = kit.document, kit.layout, kit.stages
            kit.document, kit.layout, kit.stages = (self._json(one) for one in before)
            if (kit.document, kit.layout, kit.stages) != before:
                kit.save(update_fields=["document", "layout", "stages"])
            if (table := self.names.out_of(kit.table)) != kit.table:
                Kit.objects.filter(pk=kit.pk).update(table=table)

    def texts(self) -> None:
        """Texts of the workshop that stay, without the names in them."""
        rows: list[tuple[QuerySet, str]] = [  # type: ignore[type-arg]
            (Workshop.objects.filter(pk=self.workshop.pk), "title"),
            (Workshop.objects.filter(pk=self.workshop.pk), "place"),
            (self.workshop.sessions.all(), "note"),
            (ToolKind.objects.filter(workshop=self.workshop), "name"),
            (ToolTray.objects.filter(workshop=self.workshop), "name"),
            (Remark.objects.filter(event__workshop=self.workshop), "text"),
            (LetPass.objects.filter(kit__workshop=self.workshop), "reason"),
            (LetPass.objects.filter(kit__workshop=self.workshop), "finding"),
            (ClosingReason.objects.filter(closing__session__workshop=self.workshop), "text"),
            (MarkComment.objects.filter(kit__workshop=self.workshop), "text"),
            (QuerySet(StockMovement).filter(item__owner=self.workshop.owner).exclude(reason=""), "reason"),
            (StockOffer.objects.filter(item__owner=self.workshop.owner), "name"),
            (self._log_of_administration(), "object_repr"),
            (self._log_of_administration(), "change_message"),
        ]
        for query, field in rows:
            self._rewrite(query, field, keep=frozenset())

    def named_after(self) -> None:
        """What is called as a project calls it keeps its name, or a supply would no longer be known in the cupboard."""
        stock = StockItem.objects.of(self.workshop.owner)
        goals = SessionGoal.objects.filter(session__workshop=self.workshop)
        marks = Mark.objects.filter(kit__workshop=self.workshop)
        named: list[tuple[QuerySet, str]] = [  # type: ignore[type-arg]
            (stock, "name"),
            (stock, "unit"),
            (goals, "stage"),
            (marks, "stage"),
            (marks, "text"),
        ]
        for query, field in named:
            self._rewrite(query, field, keep=self._ours)

    def _rewrite(self, query: QuerySet, field: str, keep: Collection[str]) -> None:  # type: ignore[type-arg]
        for pk, text in query.order_by().values_list("pk", field):
            if text not in keep and (cleaned := self.names.out_of(text)) != text:
                query.filter(pk=pk).update(**{field: cleaned})

    def _log_of_administration(self) -> QuerySet[LogEntry]:
        """There the workshop stands by its title, as it was."""
        kind = ContentType.objects.get_for_model(Workshop)
        return LogEntry.objects.filter(content_type=kind, object_id=str(self.workshop.pk))

    def once_written(self) -> None:
        """Submissions and events."""
        for one in Submission.objects.filter(kit__workshop=self.workshop):
            document, report = self._json(one.document), self._json(one.report)
            if (document, report) != (one.document, one.report):
                QuerySet(Submission).filter(pk=one.pk).update(document=document, report=report)
        for event in Event.objects.filter(workshop=self.workshop):
            fields = {"payload": self._json(event.payload)}
            fields |= {name: self._json(getattr(event, name)) for name in ("stage", "step")}
            if any(getattr(event, name) != value for name, value in fields.items()):
                QuerySet(Event).filter(pk=event.pk).update(**fields)
