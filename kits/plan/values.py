"""What a sewing plan is made of. Millimetres, minutes, ohms, volts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from projects.circuit.fabric import Spot
from projects.circuit.layout import Side
from projects.circuit.text import Message

__all__ = ["Action", "Material", "Plan", "PlannedStage", "Reading", "Run", "StageKind", "Step"]

StageKind = Literal["mark", "try", "sew", "light", "test", "finish", "care"]
Action = Literal[
    "mark", "hoop", "try", "cut", "knot", "anchor", "sew", "pass", "cover", "turn", "tie", "trim", "read", "test",
    "tack", "close", "seal", "care", "look", "unpick",
]  # fmt: skip


@dataclass(frozen=True)
class Run:
    """One length of thread from its knot to its tie-off.

    `terminals`: ends and terminals passed, in order (joins as `@j1`, bends at which a thread ends as `s4~2`);
    `lines` in order of sewing.
    `path_mm` along the fabric; `cut_mm` cut from the spool before folding; `split` says why the
    connection took more threads than its trails need, if it did.
    """

    name: str
    connection: str
    terminals: tuple[str, ...]
    lines: tuple[str, ...]
    path_mm: float
    cut_mm: float
    minutes: float
    split: Message | None = None


@dataclass(frozen=True)
class Step:
    """One instruction. `key` stays the same while the step means the same, so that progress can name it.

    `optional`: good to do, and left out of the minutes.
    """

    key: str
    action: Action
    text: Message
    run: str | None = None
    line: str | None = None
    terminal: str | None = None
    at: tuple[Spot, ...] = ()
    side: Side | None = None
    minutes: float = 0.0
    optional: bool = False


@dataclass(frozen=True)
class Reading:
    """What a meter should show between two places.

    `kind` ohms: `state` is "cell out"; volts: `state` is a situation's name. `max` None: at least `min`
    (open). `expected` None where only a bound is known. `stage` is the stage after which it is taken;
    `key` is that of the step that takes it; `optional` as there. Of volts, `start` is for the red tip, and `min` to
    `max` covers cells from new to used. `most`: up to here, past `max`, sound work may still read (ohms: poor anchors).
    """

    start: str
    end: str
    kind: Literal["ohms", "volts"]
    state: str
    expected: float | None
    min: float
    max: float | None
    stage: str
    text: Message
    key: str = ""
    optional: bool = False
    most: float | None = None


@dataclass(frozen=True)
class PlannedStage:
    """A group of steps that ends with a look, a measurement or a sign-off.

    `kinds`: what it does; several where a teacher merged stages, nothing for one that only the teacher knows.
    """

    name: str
    title: Message
    kinds: tuple[StageKind, ...]
    steps: tuple[Step, ...]
    connections: tuple[str, ...]
    look: bool
    minutes: float


@dataclass(frozen=True)
class Material:
    """Something to have at the table: a part type, thread (amount in mm) or a supply."""

    name: str
    kind: Literal["part", "thread", "supply"]
    amount: float
    unit: str
    price: float
    refs: tuple[str, ...] = ()
    part_type: str | None = None


@dataclass(frozen=True)
class Plan:
    """The sewing plan of one layout."""

    runs: tuple[Run, ...]
    stages: tuple[PlannedStage, ...]
    readings: tuple[Reading, ...]
    materials: tuple[Material, ...]

    @property
    def minutes(self) -> float:
        return sum(stage.minutes for stage in self.stages)
