"""Marking: who is marked for what, and what there is to judge it by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from kits.models import Event, Kit, Learner, Mark, MarkComment, Photo, Workshop
from kits.plan.criteria import Criterion, criteria_of
from kits.progress import KitState, StageRow
from kits.services.kit_needs import habits_of, kit_needs
from kits.services.photos import photos_allowed
from kits.services.states import stage_rows, states_of_kits
from kits.supplies.kit_items import KitNeeds

__all__ = ["Evidence", "Marked", "MarksOfLevel", "criteria_for", "evidence_of", "marks_of", "save_marks"]


@dataclass(frozen=True)
class Marked:
    """One learner of a kit, or the kit itself where it has none; a level a criterion, None where none is given."""

    kit: Kit
    learner: Learner | None
    levels: tuple[Mark.Level | None, ...]
    comment: str
    state: KitState
    stages: tuple[StageRow, ...] = ()

    @property
    def name(self) -> str:
        return self.learner.display_name if self.learner else ""

    @property
    def given(self) -> int:
        return sum(level is not None for level in self.levels)


@dataclass(frozen=True)
class MarksOfLevel:
    """All who make one project, by its criteria."""

    title: str
    criteria: tuple[Criterion, ...]
    rows: tuple[Marked, ...]


@dataclass(frozen=True)
class Evidence:
    """What there is to judge a kit by: layouts handed in, looks and notes as events, readings, times, photos.

    Photos are shown only while everyone who makes the kit has permission. `titles`: of stages, by their names.
    """

    submissions: int
    sent_back: int
    accepted_first: bool
    events: tuple[Event, ...]
    helped: int
    readings: int
    photos: tuple[Photo, ...]
    titles: Mapping[str, str]

    @property
    def happened(self) -> list[tuple[Event, str]]:
        """Each event with the title of its stage, if it is about one."""
        return [(event, self.titles.get(event.stage, event.stage)) for event in self.events]


def criteria_for(plan: KitNeeds) -> tuple[Criterion, ...]:
    """The criteria of a kit's own project."""
    return criteria_of(plan.project, plan.plan.stages)


def marks_of(workshop: Workshop, only: Kit | None = None) -> list[MarksOfLevel]:
    """The marks of a workshop (or of one kit of it) by project; the same few queries whatever its size."""
    kits = workshop.kits.select_related("revision__project").prefetch_related("learners").order_by("number")
    held = [kit for kit in kits.filter(pk=only.pk) if only] if only else list(kits)
    plans = kit_needs(held, habits_of(workshop))
    states = states_of_kits(held)
    given = {
        (mark.kit_id, mark.learner_id, mark.stage, mark.text): Mark.Level(mark.level)
        for mark in Mark.objects.filter(kit__in=held)
    }
    comments = {(one.kit_id, one.learner_id): one.text for one in MarkComment.objects.filter(kit__in=held)}
    levels: dict[tuple[str, tuple[Criterion, ...]], list[Marked]] = {}
    for kit in held:
        criteria = criteria_for(plans[kit.pk])
        rows = levels.setdefault((kit.revision.project.title, criteria), [])
        for learner in _marked(kit):
            pk = learner.pk if learner else None
            marks = tuple(given.get((kit.pk, pk, one.stage, one.text)) for one in criteria)
            comment = comments.get((kit.pk, pk), "")
            rows.append(Marked(kit, learner, marks, comment, states[kit.pk], stage_rows(kit)))
    return [MarksOfLevel(title, criteria, tuple(rows)) for (title, criteria), rows in levels.items()]


def save_marks(
    kit: Kit,
    learner: Learner | None,
    levels: Mapping[Criterion, int | None],
    comment: str,
    user: User | None,
) -> None:
    """Keep the marks of one learner of a kit and the comment; None takes a mark back."""
    with transaction.atomic():
        own = Mark.objects.filter(kit=kit, learner=learner)
        there = {(mark.stage, mark.text): mark for mark in own.select_for_update().order_by()}
        for criterion, level in levels.items():
            mark = there.get((criterion.stage, criterion.text))
            if level is None:
                if mark is not None:
                    mark.delete()
            elif mark is None:
                Mark.objects.create(
                    kit=kit, learner=learner, stage=criterion.stage, text=criterion.text, level=level, by=user
                )
            elif mark.level != level:
                mark.level, mark.by, mark.at = level, user, timezone.now()
                mark.save()
        MarkComment.objects.update_or_create(kit=kit, learner=learner, defaults={"text": comment, "at": timezone.now()})


def evidence_of(kit: Kit) -> Evidence:
    """What happened at a kit, for whoever marks it."""
    kinds = Event.Kind
    events = list(kit.events.select_related("learner", "user", "remark").order_by("pk"))
    counted: Mapping[str, int] = _counts(events)
    shown = (kinds.HANDED_IN, kinds.ACCEPTED, kinds.SENT_BACK, kinds.LET_PASS, kinds.SIGNED_OFF, kinds.NOTE)
    handed_in, sent_back = counted.get(kinds.HANDED_IN, 0), counted.get(kinds.SENT_BACK, 0)
    return Evidence(
        handed_in,
        sent_back,
        bool(counted.get(kinds.ACCEPTED)) and handed_in == 1 and not sent_back,
        tuple(event for event in events if event.kind in shown),
        counted.get(kinds.HELP_GIVEN, 0),
        counted.get(kinds.READING_TAKEN, 0),
        tuple(kit.photos.all()) if photos_allowed(kit) else (),
        {stage.name: stage.title for stage in stage_rows(kit)},
    )


def _marked(kit: Kit) -> Sequence[Learner | None]:
    """Spare kits that nobody makes are not marked."""
    learners = list(kit.learners.all())
    return learners or ([] if kit.spare else [None])


def _counts(events: Sequence[Event]) -> dict[str, int]:
    found: dict[str, int] = {}
    for event in events:
        found[event.kind] = found.get(event.kind, 0) + 1
    return found
