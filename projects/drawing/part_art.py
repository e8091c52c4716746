"""The picture of a part: simple generic shapes, told apart by form alone.

Drawn around the part's origin at turn 0 on the outside, mm. Words are kept apart from the shapes
(`terminal_words`), since they stay upright when the part is turned and are never mirrored.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from projects.circuit.fabric import body_points
from projects.circuit.part_types import Circle, Link, Pad, PartType, Terminal
from projects.drawing.signs import draw_sign
from projects.drawing.style import CLOTH, GLOW, INK, PART, Style
from projects.drawing.svg import Element, el, path, text

__all__ = ["PrintedWord", "draw_body", "draw_eyelet", "draw_glow", "draw_word", "half_size", "terminal_words"]


@dataclass(frozen=True)
class PrintedWord:
    """A word printed on a part: its middle in mm from the part's origin, and its letters' size in mm."""

    words: str
    x: float
    y: float
    size: float
    terminal: str


def half_size(part_type: PartType) -> tuple[float, float]:
    """Half the width and half the height of the body, mm (of its larger side for a polygon)."""
    points = body_points(part_type, 32)
    return (max(abs(x) for x, _ in points), max(abs(y) for _, y in points))


def draw_body(part_type: PartType, style: Style) -> list[Element]:
    """Tabs to the terminals, the body, and the sign of what it does."""
    ink, sheet = style.ink(INK), style.ink(PART)
    tabs = [_tab(part_type, terminal, ink, sheet) for terminal in part_type.terminals]
    body = part_type.body
    dashed = "1.6 1.2" if isinstance(part_type.model, Link) else None
    look = {"fill": sheet, "stroke": ink, "stroke_dasharray": dashed}
    if isinstance(body, Circle):
        outline = el("circle", r=body.diameter / 2, stroke_width=0.5, **look)
    else:
        outline = el(
            "path", d=path(body_points(part_type), closed=True), stroke_width=0.5, stroke_linejoin="round", **look
        )
    return [*(tab for tab in tabs if tab is not None), outline, *draw_sign(part_type, *half_size(part_type), style)]


def _tab(part_type: PartType, terminal: Terminal, ink: str, sheet: str) -> Element | None:
    """A tab from the body's edge to a terminal that stands clear of it."""
    w, h = half_size(part_type)
    x, y = max(-w, min(w, terminal.x)), max(-h, min(h, terminal.y))
    if math.dist((x, y), (terminal.x, terminal.y)) < 0.5:
        return None
    d, wide = path(((x, y), (terminal.x, terminal.y))), part_type.terminal_radius * 1.5
    return el(
        "g", el("path", d=d, stroke=ink, stroke_width=wide), el("path", d=d, stroke=sheet, stroke_width=wide - 0.8)
    )


def draw_eyelet(
    x: float, y: float, radius: float, style: Style, terminal: str | None = None, said: str | None = None
) -> Element:
    """A terminal: a metal ring with a hole; `said` is what is told of it when it is pointed at."""
    ink, metal, cloth = style.ink(INK), style.ink("#ddd6c9"), style.ink(CLOTH)
    return el(
        "g",
        *([text("title", said)] if said else []),
        el("circle", cx=x, cy=y, r=radius * 0.86, fill=metal, stroke=ink, stroke_width=radius * 0.2),
        el("circle", cx=x, cy=y, r=radius * 0.4, fill=cloth, stroke=ink, stroke_width=0.25),
        data_terminal=terminal,
        data_said=said,
    )


def draw_glow(x: float, y: float, share: float, style: Style) -> Element:
    """Light around a part, `share` 0 to 1 of full: a larger and fuller halo, and more rays, the more it shines."""
    reach = 7.0 + 7.0 * min(share, 1.0)
    rays = 6 + 2 * round(5 * min(share, 1.0))
    turns = [2 * math.pi * ray / rays for ray in range(rays)]
    d = "".join(
        path(
            (
                (x + reach * math.cos(a), y + reach * math.sin(a)),
                (x + 1.18 * reach * math.cos(a), y + 1.18 * reach * math.sin(a)),
            )
        )
        for a in turns
    )
    return el(
        "g",
        el("circle", cx=x, cy=y, r=reach, fill=style.ink(GLOW), fill_opacity=round(0.3 + 0.5 * min(share, 1.0), 2)),
        el("path", d=d, stroke=style.ink(INK), stroke_width=0.45, fill="none"),
        data_glow=round(share, 2),
    )


def terminal_words(part_type: PartType) -> tuple[PrintedWord, ...]:
    """What is printed beside each terminal, towards the middle of the part (beside it, where it is the middle)."""
    found = []
    w, h = half_size(part_type)
    for terminal in part_type.terminals:
        words = terminal.label or terminal.name
        size = _word_size(part_type, words)
        wide = 0.62 * size * len(words)
        away = part_type.terminal_radius + 0.5
        if isinstance(part_type.model, Pad) and math.hypot(terminal.x, terminal.y) > away + size:
            found.append(PrintedWord(words, 0.0, 0.0, size, terminal.name))  # clear of the pad's rings
        elif math.hypot(terminal.x, terminal.y) < 0.5:
            found.append(PrintedWord(words, 0.0, part_type.terminal_radius + size, size, terminal.name))
        elif abs(terminal.x) / max(w, 0.1) >= abs(terminal.y) / max(h, 0.1):
            reach = terminal.x - math.copysign(away + wide / 2, terminal.x)
            found.append(PrintedWord(words, reach, terminal.y, size, terminal.name))
        else:
            reach = terminal.y - math.copysign(away + size / 2, terminal.y)
            found.append(PrintedWord(words, terminal.x, reach, size, terminal.name))
    return tuple(found)


def _word_size(part_type: PartType, words: str) -> float:
    """As large as fits between neighbouring terminals and on the body: 1.8 to 3.2 mm."""
    spots = [(terminal.x, terminal.y) for terminal in part_type.terminals]
    nearest = min((math.dist(a, b) for i, a in enumerate(spots) for b in spots[:i]), default=10.0)
    longest = max(len(terminal.label or terminal.name) for terminal in part_type.terminals)
    # A sign stays large: it is what tells a child which way round the part goes.
    most = 3.2 if words in "+−-" else max(2.2, min(3.2, 0.4 * max(half_size(part_type))))
    return max(1.8, min(most, nearest / (0.72 * longest + 0.4)))


def draw_word(words: str, x: float, y: float, size: float, fill: str, anchor: str = "middle") -> Element:
    """Words with the middle of their letters at (x, y)."""
    return text(
        "text", words, x=x, y=y + 0.36 * size, font_size=size, font_weight="bold", text_anchor=anchor, fill=fill
    )
