"""Marks on paper: the class as a table, and one learner's record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kits.sheets.content.pictures import Picture
from kits.sheets.content.values import Heading, Sheet
from projects.circuit.text import Message

__all__ = ["LearnerRecord", "MarkRow", "MarksSheet", "RecordEvent", "RecordMark", "RecordReading", "marks_sheet"]


@dataclass(frozen=True)
class MarkRow:
    """One learner: the kit's number, the name, and the word of each mark, empty where none is given."""

    kit: int
    name: str
    marks: tuple[str, ...]
    comment: str


@dataclass(frozen=True)
class MarksSheet(Sheet):
    """The marks of those who make one project; `criteria` are numbered, as the heads of the columns are."""

    criteria: tuple[tuple[Message, Message], ...]
    rows: tuple[MarkRow, ...]
    levels: tuple[str, ...]


def marks_sheet(
    heading: Heading,
    criteria: Sequence[tuple[Message, Message]],
    rows: Sequence[MarkRow],
    levels: Sequence[str],
) -> MarksSheet:
    """The sheet of one project; `criteria` are title of the stage and what is asked, `levels` the words of marks."""
    return MarksSheet(heading, tuple(criteria), tuple(rows), tuple(levels))


@dataclass(frozen=True)
class RecordMark:
    """One mark of one learner."""

    stage: Message
    words: Message
    mark: str


@dataclass(frozen=True)
class RecordEvent:
    """A stage that was finished, or something else that happened, and on which day."""

    what: str
    day: str


@dataclass(frozen=True)
class RecordReading:
    """What the meter showed between two places, and what was expected."""

    where: str
    expected: str
    taken: str


@dataclass(frozen=True)
class LearnerRecord(Sheet):
    """One page of what a learner made: the layout that was sewn, stages by day, readings, marks, comment."""

    pictures: tuple[Picture, ...]
    finished: bool
    layouts: int
    helped: int
    stages: tuple[RecordEvent, ...]
    readings: tuple[RecordReading, ...]
    marks: tuple[RecordMark, ...]
    comment: str

    def images(self) -> Mapping[str, str]:
        return {f"record-{number}": picture.svg for number, picture in enumerate(self.pictures, 1)}
