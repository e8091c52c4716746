"""Marks of an overlay: a shape for each kind, so that they tell apart in black and white."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from projects.drawing.overlay import Mark
from projects.drawing.part_art import draw_word
from projects.drawing.style import INK, WARN, Style
from projects.drawing.svg import Element, el, path, text

__all__ = ["draw_mark", "stand_clear"]

RADIUS = 3.4
_WAYS = [(math.cos(a), math.sin(a)) for a in (-math.pi / 4 * i for i in (1, 3, 7, 5, 2, 4, 0, 6))]


def stand_clear(
    spot: tuple[float, float], taken: Sequence[tuple[float, float]], box: tuple[float, float, float, float]
) -> tuple[float, float]:
    """Where a mark stands: 7 mm or more from its spot, clear of other marks and inside the drawing where it can."""

    def cost(at: tuple[float, float]) -> float:
        outside = max(0.0, box[0] + RADIUS - at[0], at[0] + RADIUS - box[2])
        outside += max(0.0, box[1] + RADIUS - at[1], at[1] + RADIUS - box[3])
        crowd = sum(max(0.0, 2.3 * RADIUS - math.dist(at, other)) for other in taken)
        return 4 * outside + crowd + 0.05 * math.dist(at, spot)

    ways = ((spot[0] + reach * x, spot[1] + reach * y) for reach in (7.0, 13.0, 20.0) for x, y in _WAYS)
    return min(ways, key=cost)


def draw_mark(mark: Mark, spot: tuple[float, float], at: tuple[float, float], style: Style) -> Element:
    """The mark's shape at `at`, tied to its spot by a leader."""
    ink = style.ink(INK)
    number = mark.number if len(mark.number) <= 3 else mark.number[:2] + "…"
    fill = "#ffffff" if mark.kind == "stop" else ink
    size = 3.6 if len(number) < 2 else 3.0 if len(number) == 2 else 2.3
    down = 0.8 if mark.kind == "look" else 0.0
    words = draw_word(number, *_word_spot(mark, at, down), size, fill) if number else None
    return el(
        "g",
        text("title", mark.title) if mark.title else None,
        el("path", d=path((spot, at)), stroke=ink, stroke_width=0.5),
        el("circle", cx=spot[0], cy=spot[1], r=0.9, fill=ink, stroke="#ffffff", stroke_width=0.3),
        *_shape(mark, at, ink, style),
        words,
        data_finding=mark.number or None,
        data_mark=mark.kind,
    )


def _word_spot(mark: Mark, at: tuple[float, float], down: float) -> tuple[float, float]:
    if mark.kind == "start":
        return (at[0] + 2.3, at[1] - 1.4)
    if mark.kind == "end":
        return (at[0], at[1] - 3.2)
    return (at[0], at[1] + down)


def _shape(mark: Mark, at: tuple[float, float], ink: str, style: Style) -> Iterable[Element]:
    x, y = at
    if mark.kind == "stop":
        return [
            el(
                "path",
                d=path(_ring(x, y, RADIUS * 1.08, 8, math.pi / 8), closed=True),
                fill=style.ink(WARN),
                stroke="#ffffff",
                stroke_width=0.4,
            )
        ]
    if mark.kind == "look":
        points = _ring(x, y, RADIUS * 1.3, 3, -math.pi / 2)
        return [
            el(
                "path",
                d=path(points, closed=True),
                fill="#ffffff",
                stroke=ink,
                stroke_width=0.7,
                stroke_linejoin="round",
            )
        ]
    if mark.kind == "note":
        return [el("circle", cx=x, cy=y, r=RADIUS * 0.95, fill="#ffffff", stroke=ink, stroke_width=0.4)]
    if mark.kind == "start":
        flag = ((x, y + 3.4), (x, y - 3.8), (x + 5.4, y - 1.4), (x, y + 1.0))
        return [el("path", d=path(flag), fill="#ffffff", stroke=ink, stroke_width=0.6, stroke_linejoin="round")]
    return [
        el(
            "path",
            d=path(((x - 3.2, y), (x + 3.2, y))) + path(((x - 3.2, y + 1.4), (x + 3.2, y + 1.4))),
            stroke=ink,
            stroke_width=0.8,
        )
    ]


def _ring(x: float, y: float, radius: float, corners: int, start: float) -> list[tuple[float, float]]:
    turns = (start + 2 * math.pi * i / corners for i in range(corners))
    return [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns]
