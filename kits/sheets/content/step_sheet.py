"""The step sheet: all that a learner needs at the table to sew, test and finish one kit."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from checks.findings import Report
from kits.plan.values import Action, Plan, PlannedStage, Step
from kits.sheets.content.cautions import FOR_GROWN_UPS, FOR_LEARNERS
from kits.sheets.content.meter import ReadingRow, reading_row
from kits.sheets.content.movements import MovementPicture, movement_number, movement_pictures
from kits.sheets.content.pictures import Picture, overlay, pictures
from kits.sheets.content.pins import PinRow, pin_rows
from kits.sheets.content.ruler import ruler
from kits.sheets.content.threads import ThreadRow, line_labels, numbers, thread_rows, with_labels
from kits.sheets.content.values import NO_WORDS, Heading, SchoolWords, Sheet, Units
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.text import Message, msg

__all__ = ["StageBlock", "StepRow", "StepSheet", "Stop", "Task", "step_sheet", "stops_of"]


@dataclass(frozen=True)
class Stop:
    """Something in the layout to put right first; `number` stands at its mark on the drawing."""

    number: int
    text: Message
    fix: Message


@dataclass(frozen=True)
class StepRow:
    """One step with its tick box.

    `thread` is the thread's number at the step that cuts it, `movement` that of the picture which shows how.
    """

    number: int
    action: Action
    text: Message
    thread: int | None
    movement: int | None = None


@dataclass(frozen=True)
class Task:
    """What a stage is made of: a step, or readings to take one after another."""

    step: StepRow | None = None
    readings: tuple[ReadingRow, ...] = ()


@dataclass(frozen=True)
class StageBlock:
    """A stage: its tasks in order, and who signs it off: `look` the teacher, else perhaps the partner."""

    number: int
    title: Message
    tasks: tuple[Task, ...]
    look: bool
    partner_look: bool
    minutes: int


@dataclass(frozen=True)
class StepSheet(Sheet):
    """All that stands on a step sheet.

    `stops` and `incomplete` make the banner; `example`: this is the project's example, not the learner's own
    layout; `strands` of thread in the needle; `ruler` an SVG in true millimetres.
    """

    units: Units
    example: bool
    incomplete: bool
    left_handed: bool
    stops: tuple[Stop, ...]
    pictures: tuple[Picture, ...]
    movements: tuple[MovementPicture, ...]
    ruler: str
    strands: int
    threads: tuple[ThreadRow, ...]
    stages: tuple[StageBlock, ...]
    pins: tuple[PinRow, ...]
    has_readings: bool
    minutes: int
    cautions: tuple[Message, ...]
    for_grown_ups: Message
    school: SchoolWords

    def images(self) -> Mapping[str, str]:
        return {
            "ruler": self.ruler,
            **{f"drawing-{number}": picture.svg for number, picture in enumerate(self.pictures, 1)},
            **{f"movement-{picture.number}": picture.svg for picture in self.movements},
        }


def step_sheet(
    document: Document,
    plan: Plan,
    report: Report,
    *,
    heading: Heading,
    units: Units = "cm",
    example: bool = False,
    left_handed: bool = False,
    school: SchoolWords = NO_WORDS,
    say: Callable[[Message], str] = str,
) -> StepSheet:
    """The step sheet of one layout.

    `plan` and `report` are those of `document`; `say` turns the words inside the drawings into the reader's
    language. Lengths to cut are rounded up to 1 cm or a quarter inch, minutes up to whole ones.
    """
    laid_out = lay_out(document)
    lines = [line.name for line in document.layout.lines]
    stops = [finding for finding in report.findings if finding.level == "stop"]
    threads = thread_rows(plan.runs, laid_out, units)
    movements = movement_pictures(plan.stages, strands=document.project.thread.strands, left_handed=left_handed)
    return StepSheet(
        heading=heading,
        units=units,
        example=example,
        incomplete=not report.complete,
        left_handed=left_handed,
        stops=stops_of(report, plan),
        pictures=pictures(laid_out, overlay(plan, stops, lines), say, units),
        movements=movements,
        ruler=ruler(units),
        strands=document.project.thread.strands,
        threads=threads,
        stages=_stages(plan, threads, laid_out, movements),
        pins=pin_rows(laid_out),
        has_readings=bool(plan.readings),
        minutes=math.ceil(plan.minutes),
        cautions=FOR_LEARNERS,
        for_grown_ups=FOR_GROWN_UPS,
        school=school,
    )


def stops_of(report: Report, plan: Plan) -> tuple[Stop, ...]:
    """What is to be put right before sewing, its lines named as on the drawing."""
    labels = line_labels(plan.runs)
    stops = (finding for finding in report.findings if finding.level == "stop")
    return tuple(
        Stop(number, with_labels(finding.text, labels), with_labels(finding.fix, labels))
        for number, finding in enumerate(stops, 1)
    )


def _stages(
    plan: Plan, threads: Sequence[ThreadRow], laid_out: LaidOut, movements: Sequence[MovementPicture]
) -> tuple[StageBlock, ...]:
    return tuple(
        StageBlock(
            number=number,
            title=stage.title,
            tasks=tuple(_tasks(stage, plan, threads, laid_out, movements)),
            look=stage.look,
            partner_look=not stage.look and stage.kinds != ("care",),
            minutes=math.ceil(stage.minutes),
        )
        for number, stage in enumerate(plan.stages, 1)
    )


def _tasks(
    stage: PlannedStage,
    plan: Plan,
    threads: Sequence[ThreadRow],
    laid_out: LaidOut,
    movements: Sequence[MovementPicture],
) -> Iterator[Task]:
    """Steps in order, numbered within the stage; steps that take readings are printed as those readings.

    The readings of a stage come in the order of the steps that take them; those without a step come last.
    """
    readings = [reading_row(one, laid_out) for one in plan.readings if one.stage == stage.name]
    number = 0
    for is_read, steps in groupby(stage.steps, key=lambda step: step.action == "read"):
        if is_read:
            count = len(list(steps))
            yield Task(readings=tuple(readings[:count]))
            del readings[:count]
            continue
        for step in steps:
            number += 1
            yield Task(replace(_step_row(number, step, plan, threads), movement=movement_number(step, movements)))
    if readings:
        yield Task(readings=tuple(readings))


def _step_row(number: int, step: Step, plan: Plan, threads: Sequence[ThreadRow]) -> StepRow:
    thread = numbers(plan.runs).get(step.run or "")
    if step.action == "cut" and thread is not None:
        return StepRow(number, step.action, _cut_words(threads[thread - 1]), thread)
    return StepRow(number, step.action, with_labels(step.text, line_labels(plan.runs)), None)


def _cut_words(thread: ThreadRow) -> Message:
    """The plan says centimetres; a sheet says what its table of threads says."""
    return msg("Cut {length} of thread for thread {number}.", length=thread.cut, number=thread.number)
