"""How a drawing looks: warm cloth and dark ink; a hue only repeats what a shape or a label says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from string import ascii_lowercase

from projects.circuit.text import Message

__all__ = ["FONT", "PLAIN", "Style", "line_colour", "part_tint"]

FONT = "'DejaVu Sans', 'Noto Sans', Verdana, sans-serif"

CLOTH, EDGE, INK, PALE, PART = "#f8efdd", "#8a6a45", "#2b2320", "#8d8177", "#fffdf8"
WARN, GLOW = "#9c1c1c", "#f3c969"
# Dark enough for 4.5:1 on cloth (WCAG 2.2, 1.4.3): a line's label is written in the line's own colour.
_LINE = {"+": "#9b2d1f", "−": "#1f3f73"}
_NUMBERED = ("#2d6a35", "#6a3b86", "#7a5200", "#0f6670", "#8c2f62", "#4d5a1c")

_TINTS = {
    "red": "#f0a8a0",
    "yellow": "#f7e27a",
    "green": "#a9d8a5",
    "blue": "#a9c6ef",
    "white": "#ffffff",
    "orange": "#f5c08a",
    "pink": "#f3bfd3",
    "violet": "#cdb7e6",
    "purple": "#cdb7e6",
    "silver": "#e4e2de",
    "grey": "#dad7d2",
    "gray": "#dad7d2",
    "black": "#d8d2c8",
    "brown": "#d9bf9f",
}


@dataclass(frozen=True)
class Style:
    """How to draw.

    `font_mm`: height of the letters of refs and line labels. `grid`: a 5 mm grid. `labels`: refs, terminal
    labels and line labels. `guides`: connections still to be sewn, as faint dotted links. `say` turns a
    Message into words; a border that translates gives its own.
    """

    greyscale: bool = False
    font_mm: float = 3.4
    grid: bool = False
    labels: bool = True
    guides: bool = False
    say: Callable[[Message], str] = str

    def ink(self, colour: str) -> str:
        """The colour `#rrggbb`, or without colour a grey as light; cloth and what is paler is plain paper."""
        if not self.greyscale:
            return colour
        red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
        light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
        grey = 255 if light > 225 else 0x11 if light < 110 else round(light)
        return f"#{grey:02x}{grey:02x}{grey:02x}"


PLAIN = Style()
"""A drawing for the screen: colour, refs and labels, no grid, no guides."""


def line_colour(label: str) -> str:
    """The hue that repeats a line's label; the letter after a number (1a, 1b) changes nothing; ink for other labels.

    >>> line_colour("+") != line_colour("−") != line_colour("1") == line_colour("1b")
    True
    """
    number = label.rstrip(ascii_lowercase)
    if number.isascii() and number.isdigit():
        return _NUMBERED[int(number[:6]) % len(_NUMBERED) - 1]
    return _LINE.get(label, INK)


def part_tint(colour: str) -> str:
    """A pale tint for a part's own colour name, so that ink stays readable on it; `#rrggbb` is kept."""
    return colour if colour.startswith("#") else _TINTS.get(colour, PART)
