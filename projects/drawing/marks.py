"""Marks of an overlay: a shape for each kind, so that they tell apart in black and white."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from projects.drawing.overlay import Mark
from projects.drawing.part_art import draw_word
from projects.drawing.style import INK, WARN, Style
from projects.drawing.svg import Element, el, path, text
from projects.drawing.view import Box

__all__ = ["RADIUS", "draw_mark", "extent", "stand_clear"]

RADIUS = 3.4
_WAYS = [(math.cos(a), math.sin(a)) for a in (-math.pi / 4 * i for i in (1, 3, 7, 5, 2, 4, 0, 6))]
_EXTENTS = {"start": (0.4, 3.9, 4.9, 2.6), "end": (2.6, 3.9, 2.6, 1.3)}  # left, above, right, below, mm


def extent(mark: Mark, at: tuple[float, float]) -> Box:
    """What a mark that stands at `at` takes up, mm."""
    left, above, right, below = _EXTENTS.get(mark.kind, (RADIUS * 1.3,) * 4)
    return (at[0] - left, at[1] - above, at[0] + right, at[1] + below)


def stand_clear(mark: Mark, spot: tuple[float, float], taken: Sequence[BaseGeometry], box: Box) -> tuple[float, float]:
    """Where a mark stands: beside its spot, off what is drawn (`taken`), inside the drawing where it can."""
    small = mark.kind in _EXTENTS
    reaches = (5.0, 7.5, 10.5, 14.0) if small else (7.0, 10.0, 13.0, 20.0)
    spots = [(spot[0] + reach * x, spot[1] + reach * y) for reach in reaches for x, y in _WAYS]
    boxes = [extent(mark, at) for at in spots]
    shapes = shapely.box(*np.array(boxes).T)
    hidden = np.zeros(len(spots))
    if taken:
        hidden = shapely.area(shapely.intersection(shapes[:, None], np.array(taken, dtype=object))).sum(axis=1)
    costs = [
        0.8 * float(under) + 8 * _outside(one, box) + 0.35 * math.dist(at, spot)
        for under, one, at in zip(hidden, boxes, spots, strict=True)
    ]
    return spots[costs.index(min(costs))]


def _outside(one: Box, box: Box) -> float:
    """How far a box pokes out of another, mm."""
    return max(0.0, box[0] - one[0], one[2] - box[2]) + max(0.0, box[1] - one[1], one[3] - box[3])


def draw_mark(mark: Mark, spot: tuple[float, float], at: tuple[float, float], style: Style) -> Element:
    """The mark's shape at `at`, tied to its spot by a leader."""
    ink = style.ink(INK)
    number = mark.number if len(mark.number) <= 3 else mark.number[:2] + "…"
    fill = "#ffffff" if mark.kind == "stop" else ink
    size = (3.6 if len(number) < 2 else 3.0 if len(number) == 2 else 2.3) * (0.83 if mark.kind in _EXTENTS else 1.0)
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
        return (at[0] + 2.2, at[1] - 1.7)
    if mark.kind == "end":
        return (at[0], at[1] - 2.2)
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
        # A pennant whose outer end is cut in, so that the number has room and the shape still tells.
        flag = ((x, y + 2.3), (x, y - 3.6), (x + 4.6, y - 3.6), (x + 3.9, y - 1.7), (x + 4.6, y + 0.2), (x, y + 0.2))
        return [el("path", d=path(flag), fill="#ffffff", stroke=ink, stroke_width=0.5, stroke_linejoin="round")]
    bars = path(((x - 2.3, y), (x + 2.3, y))) + path(((x - 2.3, y + 1.0), (x + 2.3, y + 1.0)))
    return [el("path", d=bars, stroke=ink, stroke_width=0.6)]


def _ring(x: float, y: float, radius: float, corners: int, start: float) -> list[tuple[float, float]]:
    turns = (start + 2 * math.pi * i / corners for i in range(corners))
    return [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns]
