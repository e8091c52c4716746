"""A project: what the class makes. Pieces, thread, parts, connections, stages, supplies."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from projects.circuit.base import Name, NotNegative, Point, Positive, Ref, Text, Value
from projects.circuit.part_types import Ability, PartType

__all__ = [
    "LAYOUT_STAGE",
    "PIN_NEEDS",
    "Connection",
    "Criterion",
    "LearnerMay",
    "Part",
    "Piece",
    "PinUse",
    "Project",
    "Settings",
    "Stage",
    "Supply",
    "Thread",
]

PinUse = Literal["output", "fade", "input", "input-pull-up", "analog", "touch"]
PIN_NEEDS: Mapping[PinUse, Ability] = {
    "output": "digital",
    "fade": "pwm",
    "input": "digital",
    "input-pull-up": "digital",
    "analog": "analog",
    "touch": "touch",
}
"""What a pin must be able to do for each use."""

LAYOUT_STAGE = "layout"
"""What a criterion names for the layout itself, which every project has and no list of stages holds."""

LearnerMay = Literal["nothing", "layout", "choose", "all"]


class Piece(Value):
    """A flat piece of fabric; outline in mm as seen from the outside."""

    name: Name
    outline: tuple[Point, ...] = Field(min_length=3, max_length=2000, fail_fast=True)
    seam_allowance: NotNegative = 8.0


class Thread(Value):
    """Conductive thread as bought, and how it joins.

    `ohms_per_metre` of one strand; `take_up` sewn length over path; `contact_ohms` at a sewn terminal;
    `crossing_ohms` where threads touch; `tolerance` relative spread of `ohms_per_metre`.
    """

    ohms_per_metre: Positive = 30.0
    strands: int = Field(default=2, ge=1, le=16)
    take_up: Positive = 1.2
    contact_ohms: NotNegative = 0.5
    crossing_ohms: NotNegative = 0.3
    tolerance: Positive = 0.3
    spool_metres: Positive = 20.0
    spool_price: NotNegative = 6.0


class Settings(Value):
    """Stitch length and working length in mm, amps below which a light is dark or dim, hours wanted."""

    stitch_mm: Positive = 5.0
    working_mm: Positive = 600.0
    dark_amps: Positive = 0.0002
    dim_amps: Positive = 0.001
    hours: Positive = 2.0


class Part(Value):
    """A thing sewn on: its ref and the part type it is of."""

    ref: Name
    type: Name


class Connection(Value):
    """A set of terminals that the circuit diagram joins."""

    name: Name
    terminals: tuple[Ref, ...] = Field(max_length=1000, fail_fast=True)


def _is_empty(value: object) -> bool:
    return not value


StageWork = Literal["mark", "try it out", "test", "close and finish", "care"]
"""What a stage does besides sewing: each is a stage of its own in every plan, unless a teacher says otherwise."""


class Stage(Value):
    """A group of steps; `look` means that it ends with a look by the teacher.

    `does`: which of the plan's own stages it stands for under a name of the teacher's. Left out of a file where there
    are none; a stage that has the very name of one of them, and sews nothing, stands for that one without it.
    """

    name: Text = Field(min_length=1)
    connections: tuple[Name, ...] = Field(default=(), max_length=1000, fail_fast=True)
    does: tuple[StageWork, ...] = Field(default=(), max_length=5, fail_fast=True, exclude_if=_is_empty)
    look: bool = False


class Supply(Value):
    """Something needed that is not a part: fabric, needles, stuffing."""

    name: Text = Field(min_length=1)
    amount: Positive = 1.0
    unit: Text = "piece"
    per: Literal["kit", "learner", "workshop"] = "kit"
    price: NotNegative = 0.0


class Criterion(Value):
    """What a mark is given for, and at which stage; LAYOUT_STAGE for the layout, before any stage of sewing."""

    stage: Text
    text: Text


class Project(Value):
    """What the class makes, as the file holds it; mm, ohms, amps, volts, hours.

    `faces`: pairs of pieces that lie inside to inside, unlined, when the object is closed; a piece with itself is
    folded along its vertical middle. Left out of a file where there are none.
    """

    title: Text = Field(min_length=1)
    pieces: tuple[Piece, ...] = Field(min_length=1, max_length=50, fail_fast=True)
    faces: tuple[tuple[Name, Name], ...] = Field(default=(), max_length=100, fail_fast=True, exclude_if=_is_empty)
    thread: Thread = Thread()
    spacing: Positive = 5.0
    contact: Positive = 2.0
    settings: Settings = Settings()
    part_types: tuple[PartType, ...] = Field(default=(), max_length=200, fail_fast=True)
    parts: tuple[Part, ...] = Field(max_length=200, fail_fast=True)
    pins: Annotated[dict[Ref, PinUse], Field(max_length=2000)] = Field(default_factory=dict)
    connections: tuple[Connection, ...] = Field(max_length=1000, fail_fast=True)
    stages: tuple[Stage, ...] = Field(default=(), max_length=200, fail_fast=True)
    supplies: tuple[Supply, ...] = Field(default=(), max_length=500, fail_fast=True)
    criteria: tuple[Criterion, ...] = Field(default=(), max_length=500, fail_fast=True)
    learner_may: LearnerMay = "layout"
    swaps: Annotated[dict[Name, tuple[Name, ...]], Field(max_length=200)] = Field(default_factory=dict)

    def connection_of(self, terminal: str) -> str | None:
        """Name of the first connection that uses this terminal, if any."""
        for connection in self.connections:
            if terminal in connection.terminals:
                return connection.name
        return None
