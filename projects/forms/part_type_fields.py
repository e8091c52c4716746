"""The fields of a part type's electrical model, by kind, with units and what they mean."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from projects.circuit.part_types import Model, Sensor, Switch

__all__ = ["KINDS", "NUMBERS", "Number", "lines_of", "model_value"]

KINDS = (
    ("cell", _("Cell holder or pack")),
    ("led", _("Light")),
    ("resistor", _("Resistor")),
    ("switch", _("Switch")),
    ("load", _("Draws current: buzzer, motor")),
    ("sensor", _("Sensor")),
    ("controller", _("Controller")),
    ("pad", _("Touch pad")),
    ("link", _("Seam crossing: all terminals joined")),
)


@dataclass(frozen=True)
class Number:
    """One number of a model: its name in the file, what it is called, and a value to begin with."""

    name: str
    label: Any
    first: float


NUMBERS: Mapping[str, tuple[Number, ...]] = {
    "cell": (
        Number("volts", _("Volts, new"), 3.0),
        Number("ohms", _("Inner ohms"), 15.0),
        Number("mah", _("Milliamp hours"), 200),
        Number("end_volts", _("Empty at, volts"), 2.0),
    ),
    "led": (
        Number("saturation_amps", _("Saturation current, A"), 4.62e-16),
        Number("ideality", _("Ideality"), 3.696),
        Number("ohms", _("Ohms in series"), 66),
        Number("max_amps", _("Bears for long, A"), 0.02),
    ),
    "resistor": (Number("ohms", _("Ohms"), 100),),
    "load": (Number("ohms", _("Ohms"), 600), Number("min_volts", _("Works from, volts"), 2.0)),
    "controller": (
        Number("amps", _("Draws, A"), 0.005),
        Number("min_volts", _("Works from, volts"), 1.8),
        Number("max_volts", _("Bears, volts"), 6.0),
        Number("pin_ohms", _("Ohms of a pin"), 85),
        Number("pin_max_amps", _("A pin gives, A"), 0.01),
        Number("total_max_amps", _("All pins together, A"), 0.05),
    ),
}


def lines_of(model: Model) -> str:
    """Positions of a switch or levels of a sensor, one a line, as they are typed.

    >>> from projects.circuit.part_types import Level
    >>> lines_of(Sensor(levels=(Level(name="dark", ohms=200000.0), Level(name="bright", ohms=1500.0))))
    'dark: 200000\\nbright: 1500'
    """
    if isinstance(model, Switch):
        rows = (f"{one.name}: {', '.join('-'.join(pair) for pair in one.joins)}".rstrip() for one in model.positions)
        return "\n".join(rows)
    if isinstance(model, Sensor):
        return "\n".join(f"{one.name}: {one.ohms:g}" for one in model.levels)
    return ""


def model_value(kind: str, data: Mapping[str, Any]) -> dict[str, Any]:
    """The model as JSON values, from what was typed: numbers as `led_ohms`, lines as `switch_lines`.

    Nothing is judged here: what makes no sense is refused, with its place, by the reader of the project file.
    """
    value: dict[str, Any] = {"kind": kind}
    for number in NUMBERS.get(kind, ()):
        value[number.name] = data.get(f"{kind}_{number.name}")
    if kind == "switch":
        value["momentary"] = bool(data.get("momentary"))
        value["positions"] = [{"name": name, "joins": _pairs(rest)} for name, rest in _rows(data.get("switch_lines"))]
    if kind == "sensor":
        value["levels"] = [{"name": name, "ohms": _number(rest)} for name, rest in _rows(data.get("sensor_lines"))]
    return value


def _rows(text: str | None) -> list[tuple[str, str]]:
    rows = [line.partition(":") for line in (text or "").splitlines() if line.strip()]
    return [(name.strip(), rest.strip()) for name, _colon, rest in rows]


def _pairs(text: str) -> list[list[str]]:
    return [[end.strip() for end in pair.split("-")] for pair in text.split(",") if pair.strip()]


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text
