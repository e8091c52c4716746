"""The sheets of marks: a class at a glance, and the record of one learner."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

from django.utils import timezone
from django.utils.formats import date_format

from kits.models import Event, Mark, Workshop
from kits.plan.criteria import Criterion
from kits.services.marks import Evidence, Marked, MarksOfLevel
from kits.sheets.content import Heading
from kits.sheets.content.marks import (
    LearnerRecord,
    MarkRow,
    MarksSheet,
    RecordEvent,
    RecordMark,
    RecordReading,
    marks_sheet,
)
from kits.sheets.content.meter import reading_row
from kits.sheets.content.pictures import overlay, pictures
from kits.sheets.for_kit import KitOnPaper
from projects.circuit.fabric import LaidOut, lay_out
from projects.said import say

__all__ = ["marks_sheets_for", "record_for"]

_PICTURES = 2
_READINGS = 8


def marks_sheets_for(workshop: Workshop, levels: Sequence[MarksOfLevel]) -> list[MarksSheet]:
    """A sheet a project; one empty sheet for a workshop without kits."""
    words = [str(level.label) for level in Mark.Level]
    return [
        marks_sheet(
            Heading(f"{workshop.title}: {level.title}" if level.title else workshop.title, workshop=workshop.title),
            [(one.title, one.words) for one in level.criteria],
            [
                MarkRow(
                    row.kit.number,
                    row.name,
                    tuple("" if mark is None else str(mark.label) for mark in row.levels),
                    row.comment,
                )
                for row in level.rows
            ],
            words,
        )
        for level in (levels or [MarksOfLevel("", (), ())])
    ]


def record_for(row: Marked, criteria: Sequence[Criterion], evidence: Evidence) -> LearnerRecord:
    """One page of one learner of a kit (or of the kit, where nobody has a name)."""
    on = KitOnPaper(row.kit)
    laid_out = lay_out(on.document)
    names = (row.name,) if row.name else ()
    heading = Heading(
        row.kit.revision.project.title,
        str(row.kit.number),
        str(row.kit.revision.number),
        names,
        row.kit.workshop.title,
    )
    outside = [one for one in pictures(laid_out, overlay(on.plan, ()), say) if "inside" not in str(one.name).lower()]
    return LearnerRecord(
        heading=heading,
        pictures=tuple(outside[:_PICTURES]),
        finished=row.state.phase == "finished",
        layouts=evidence.submissions,
        helped=evidence.helped,
        stages=_stages(row),
        readings=_readings(on, laid_out),
        marks=tuple(
            RecordMark(one.title, one.words, "" if mark is None else str(mark.label))
            for one, mark in zip(criteria, row.levels, strict=True)
        ),
        comment=row.comment,
    )


def _stages(row: Marked) -> tuple[RecordEvent, ...]:
    """The day on which each finished stage was last ticked or signed off."""
    kinds = (Event.Kind.STAGE_DONE, Event.Kind.SIGNED_OFF)
    days = dict(row.kit.events.filter(kind__in=kinds).order_by("pk").values_list("stage", "at"))
    return tuple(
        RecordEvent(
            stage.title,
            date_format(timezone.localtime(days[stage.name]), "j F Y") if stage.name in days else "",
        )
        for stage in row.stages
        if stage.name in row.state.done
    )


def _readings(on: KitOnPaper, laid_out: LaidOut) -> tuple[RecordReading, ...]:
    """The newest reading of each place, beside what was expected."""
    expected = {reading.key: reading for reading in on.plan.readings}
    taken = on.kit.events.filter(kind=Event.Kind.READING_TAKEN, step__in=expected).order_by("pk")
    newest = {event.step: event.payload.get("value") for event in taken}
    rows = []
    for key, value in islice(newest.items(), _READINGS):
        row = reading_row(expected[key], laid_out)
        unit = "Ω" if row.kind == "ohms" else "V"
        shown = "OL" if value is None else f"{value:g} {unit}"
        rows.append(RecordReading(f"{say(row.start)} – {say(row.end)}", say(row.shows), shown))
    return tuple(rows)
