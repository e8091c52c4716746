"""A teacher's own habits as data: what may be set, between which limits, and how it is kept with a project or a class.

Kept is only what differs from the defaults, so that a default which is mended later reaches everyone who left it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields

from projects.circuit.sewing import Habits
from projects.circuit.text import Message, msg

__all__ = ["HABIT_FIELDS", "HabitField", "HabitRefused", "habits_from", "habits_to"]


@dataclass(frozen=True)
class HabitField:
    """One habit that a teacher can set: what a form says of it, its unit, and the least and most that it may be."""

    name: str
    label: Message
    unit: str
    least: float
    most: float

    @property
    def kind(self) -> type[bool] | type[int] | type[float]:
        return type(getattr(_DEFAULTS, self.name))


class HabitRefused(ValueError):
    """A value that cannot be a habit: `field` is its name, `why` says what is wrong and what is allowed."""

    def __init__(self, field: str, why: Message) -> None:
        super().__init__(str(why))
        self.field = field
        self.why = why


_DEFAULTS = Habits()

HABIT_FIELDS: tuple[HabitField, ...] = (
    HabitField("learners", msg("Learners who sew at one time"), "", 1, 64),
    HabitField("meters", msg("Meters for all of them (0: no readings are asked for)"), "", 0, 64),
    HabitField(
        "first_light", msg("Put the cell in for a first light, after a look, as soon as a loop is closed"), "", 0, 1
    ),
    HabitField("first_run_minutes", msg("Threading, knot and tie-off of the first threads"), "min", 0, 60),
    HabitField("first_runs", msg("How many threads count as first ones"), "", 0, 20),
    HabitField("later_run_minutes", msg("Threading, knot and tie-off of later threads"), "min", 0, 60),
    HabitField("stitch_seconds", msg("One running stitch"), "s", 1, 120),
    HabitField("anchor_seconds", msg("Three tight stitches at a terminal"), "s", 1, 600),
    HabitField("look_seconds", msg("A look at both sides"), "s", 0, 600),
    HabitField("reading_minutes", msg("One meter reading"), "min", 0, 30),
    HabitField("mark_part_minutes", msg("Marking one part or piece"), "min", 0, 30),
    HabitField("hoop_minutes", msg("Putting the fabric in a hoop"), "min", 0, 30),
    HabitField("try_part_minutes", msg("Trying one part with clip leads"), "min", 0, 30),
    HabitField("test_part_minutes", msg("Testing one part of the finished circuit"), "min", 0, 30),
    HabitField("cover_minutes", msg("Sewing on one cover"), "min", 0, 30),
    HabitField("tack_minutes", msg("Tacking the free holes of one part"), "min", 0, 30),
    HabitField("seal_minutes", msg("Sealing the knots"), "min", 0, 60),
    HabitField("close_minutes", msg("Closing the object"), "min", 0, 240),
    HabitField("count_minutes", msg("Counting tools back in"), "min", 0, 60),
    HabitField("care_minutes", msg("Each line of the care talk"), "min", 0, 30),
    HabitField("anchor_mm", msg("Thread for one anchor, one strand"), "mm", 0, 300),
    HabitField("start_mm", msg("Thread at the start, one strand"), "mm", 0, 1000),
    HabitField("end_mm", msg("Thread at the end, one strand"), "mm", 20, 1000),
    HabitField("tail_mm", msg("Longest tail after trimming"), "mm", 1, 20),
    HabitField("longest_share", msg("A single line is cut at a bend past this share of the working length"), "×", 1, 5),
    HabitField("waste_share", msg("Thread lost in class"), "share", 0, 1),
    HabitField("sure_share", msg("How sure that the spare parts suffice"), "share", 0.5, 0.999),
    HabitField("open_ohms", msg("From here on a meter reading counts as not joined"), "Ω", 1_000, 2e6),
    HabitField("lead_ohms", msg("The most that the meter's own leads show"), "Ω", 0, 10),
    HabitField("controller_ohms", msg("The least that a controller without a cell shows"), "Ω", 1, 1e5),
    HabitField("cell_volts_spread", msg("Share by which a new cell may be above its nominal volts"), "share", 0, 0.5),
    HabitField("light_volts_spread", msg("Volts by which lights of one colour differ"), "V", 0, 1),
    HabitField("anchor_most_ohms", msg("The most that a sound anchor has"), "Ω", 0, 100),
    HabitField("supply_amps_spread", msg("Share by which a controller's own current may differ"), "share", 0, 0.95),
)
"""Every habit, the ones set most often first."""

_BY_NAME = {field.name: field for field in HABIT_FIELDS}


def habits_from(data: Mapping[str, object]) -> Habits:
    """Habits from what was kept or typed; what is missing has its default.

    Raises HabitRefused for a name that is no habit, a value of the wrong kind, or one out of its limits.

    >>> habits_from({"meters": 6, "learners": 30}).reading_minutes
    1.0
    """
    values = {name: _checked(name, value) for name, value in data.items()}
    return Habits(**values)  # type: ignore[arg-type]


def habits_to(habits: Habits) -> dict[str, float | int | bool]:
    """What differs from the defaults, as JSON values; `habits_from` reads it.

    >>> habits_to(habits_from({"meters": 6, "learners": 30, "stitch_seconds": 10}))
    {'meters': 6, 'learners': 30}
    """
    found, usual = asdict(habits), asdict(_DEFAULTS)
    names = [field.name for field in fields(Habits)]
    return {name: found[name] for name in names if found[name] != usual[name]}


def _checked(name: str, value: object) -> float | int | bool:
    field = _BY_NAME.get(name)
    if field is None:
        raise HabitRefused(name, msg("{name} is no habit that can be set.", name=name[:40]))
    if field.kind is bool:
        if not isinstance(value, bool):
            raise HabitRefused(name, msg("{label}: say yes or no.", label=field.label))
        return value
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise HabitRefused(name, msg("{label}: this must be a number.", label=field.label))
    if not field.least <= value <= field.most:
        limits = {"least": f"{field.least:g}", "most": f"{field.most:g}"}
        raise HabitRefused(name, msg("{label}: this must be from {least} to {most}.", label=field.label, **limits))
    if field.kind is int:
        if value != int(value):
            raise HabitRefused(name, msg("{label}: this must be a whole number.", label=field.label))
        return int(value)
    return float(value)
