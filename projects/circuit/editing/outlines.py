"""Outlines of pieces from a few measures, mm; the top left of each is at the origin."""

from __future__ import annotations

import math
from collections.abc import Iterable

from projects.circuit.refusal import Refusal, quoted
from projects.circuit.text import msg

__all__ = ["FLAT_MM", "Outline", "at_origin", "box_of", "circle", "points_of", "rectangle", "rounded"]

Outline = tuple[tuple[float, float], ...]

FLAT_MM = 0.1
"""How far a curve and the straight edges that stand for it may lie apart."""


def rectangle(width: float, height: float) -> Outline:
    """A rectangle.

    >>> rectangle(160, 120)
    ((0.0, 0.0), (160.0, 0.0), (160.0, 120.0), (0.0, 120.0))
    """
    return ((0.0, 0.0), (float(width), 0.0), (float(width), float(height)), (0.0, float(height)))


def circle(diameter: float) -> Outline:
    """A circle, as straight edges no further than FLAT_MM from it."""
    radius = diameter / 2
    steps = max(12, edges_of_turn(radius, 2 * math.pi))
    turns = (2 * math.pi * i / steps for i in range(steps))
    return tuple((round(radius + radius * math.cos(a), 3), round(radius + radius * math.sin(a), 3)) for a in turns)


def rounded(width: float, height: float, radius: float) -> Outline:
    """A rectangle with rounded corners; the radius is at most half of the shorter side."""
    r = min(radius, width / 2, height / 2)
    if r <= 0:
        return rectangle(width, height)
    steps = max(2, edges_of_turn(r, math.pi / 2))
    middles = ((width - r, r, -90), (width - r, height - r, 0), (r, height - r, 90), (r, r, 180))
    points = [
        (round(x + r * math.cos(a), 3), round(y + r * math.sin(a), 3))
        for x, y, start in middles
        for a in (math.radians(start + 90 * i / steps) for i in range(steps + 1))
    ]
    # A radius of half a side leaves no straight edge: its ends fall together.
    return tuple(point for i, point in enumerate(points) if point != points[i - 1])


def edges_of_turn(radius: float, turn: float) -> int:
    """How many straight edges stand for an arc of that turn (radians) within FLAT_MM: the sagitta r(1 − cos(a/2))."""
    if radius <= FLAT_MM:
        return 4
    return math.ceil(turn / (2 * math.acos(1 - FLAT_MM / radius)))


def points_of(text: str) -> Outline:
    """Points that were typed, one a line: `x, y` or `x y` in mm. Refusal for a line that holds anything else.

    >>> points_of("0, 0\\n160 0\\n80, 90.5")
    ((0.0, 0.0), (160.0, 0.0), (80.0, 90.5))
    """
    points = []
    for number, line in enumerate(text.splitlines(), start=1):
        words = line.replace(",", " ").replace(";", " ").split()
        if not words:
            continue
        try:
            x, y = (float(word) for word in words)
        except ValueError:
            wrong = msg("line {number} holds {line}", number=number, line=quoted(line))
            raise Refusal("points", wrong, msg("two numbers in mm on each line, such as 40, 25.5")) from None
        points.append((x, y))
    return tuple(points)


def box_of(outline: Iterable[tuple[float, float]]) -> tuple[float, float, float, float]:
    """Left, top, right, bottom."""
    xs, ys = zip(*outline, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def at_origin(outline: Outline) -> Outline:
    """The outline moved so that its box starts at the origin, to 0.01 mm."""
    left, top, _, _ = box_of(outline)
    return tuple((round(x - left, 2), round(y - top, 2)) for x, y in outline)
