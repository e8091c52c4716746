"""What others want shown on a drawing: marks, and the state of each line. The drawing knows no more of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from projects.circuit.fabric import Spot

__all__ = ["LineState", "Mark", "Overlay"]

LineState = Literal["plain", "done", "now", "next", "ghost", "wrong"]


@dataclass(frozen=True)
class Mark:
    """A numbered mark at a spot. `kind` picks its shape, so that it holds in black and white.

    stop: octagon; look: triangle; note: circle; start: flag (thread starts); end: bar (tie off).
    """

    spot: Spot
    kind: Literal["stop", "look", "note", "start", "end"]
    number: str = ""
    title: str = ""


@dataclass(frozen=True)
class Overlay:
    """Marks, states of lines by line name, and the label repeated along each line by line name.

    `glows`: how brightly a part shines, 0 to 1, by ref; parts left out do not shine. `terminal_words`: what to say
    of a terminal (`B1.p1`) when it is pointed at.
    """

    marks: tuple[Mark, ...] = ()
    line_states: Mapping[str, LineState] = field(default_factory=dict)
    line_labels: Mapping[str, str] = field(default_factory=dict)
    glows: Mapping[str, float] = field(default_factory=dict)
    terminal_words: Mapping[str, str] = field(default_factory=dict)
