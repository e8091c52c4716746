"""A part type at true scale, to lay the real part on: does the catalogue's part fit the one in hand?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kits.sheets.content.ruler import true_bar
from kits.sheets.content.values import Heading, Sheet, Units
from projects.circuit.part_types import PartType
from projects.circuit.text import Message, msg
from projects.drawing.cutout import draw_part, part_box
from projects.drawing.style import Style

__all__ = ["PartPrint", "TerminalRow", "part_print"]


@dataclass(frozen=True)
class TerminalRow:
    """A terminal: its name, what is printed there, and where it lies from the middle of the body."""

    name: str
    label: str
    across: str
    down: str


@dataclass(frozen=True)
class PartPrint(Sheet):
    """One part at true scale, with its measures in words."""

    units: Units
    part_type: PartType
    picture: str
    width_mm: float
    height_mm: float
    size: Message
    terminals: tuple[TerminalRow, ...]
    bar: str

    def images(self) -> Mapping[str, str]:
        return {"part": self.picture, "bar": self.bar}


def part_print(part_type: PartType, *, heading: Heading, units: Units = "cm") -> PartPrint:
    """The print of one part type; distances from the middle of its body in mm, right and down."""
    left, top, right, bottom = part_box(part_type)
    return PartPrint(
        heading=heading,
        units=units,
        part_type=part_type,
        picture=draw_part(part_type, style=Style(greyscale=True)),
        # As `draw_part` draws it: 1 mm of margin all around.
        width_mm=right - left + 2,
        height_mm=bottom - top + 2,
        size=msg(
            "{width} × {height} mm over everything, terminals included.",
            width=_mm(right - left),
            height=_mm(bottom - top),
        ),
        terminals=tuple(
            TerminalRow(one.name, one.label or one.name, _mm(one.x), _mm(one.y)) for one in part_type.terminals
        ),
        bar=true_bar(units),
    )


def _mm(value: float) -> str:
    return f"{round(value, 2):g}".replace("-", "−")
