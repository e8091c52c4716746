"""Where the name of a part stands: on the part if there is room, else beside it, clear of what is drawn."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from projects.circuit.part_types import Cell, Circle, Controller, PartType
from projects.drawing.part_art import half_size
from projects.drawing.view import Box

__all__ = ["beside", "room_on", "width"]


def width(words: str, size: float) -> float:
    """About how wide bold words are, mm."""
    return 0.66 * size * len(words)


def room_on(part_type: PartType, words: str, size: float) -> bool:
    """Whether the words fit in the middle of the part, where its picture leaves room for them."""
    half = min(half_size(part_type))
    if isinstance(part_type.model, Cell) and isinstance(part_type.body, Circle):
        return width(words, size) <= 0.9 * half
    if isinstance(part_type.model, Controller):
        return width(words, size) <= 0.56 * half
    return False


def beside(around: Box, wide: float, high: float, obstacles: Sequence[BaseGeometry], view: Box) -> tuple[float, float]:
    """Middle of a box of words beside `around` that meets the fewest obstacles and stays in view."""
    left, top, right, bottom = around
    x, y, dx, dy = (left + right) / 2, (top + bottom) / 2, wide / 2 + 0.8, high / 2 + 0.8
    spots = [(x, bottom + dy), (x, top - dy), (right + dx, y), (left - dx, y)]
    spots += [(right + dx, bottom + dy), (left - dx, bottom + dy), (right + dx, top - dy), (left - dx, top - dy)]
    spots += [(x, bottom + 2.2 * dy), (x, top - 2.2 * dy)]
    boxes = [shapely.box(sx - wide / 2, sy - high / 2, sx + wide / 2, sy + high / 2) for sx, sy in spots]
    inside = shapely.box(*view)
    hits = [int(shapely.intersects(box, list(obstacles)).sum()) if obstacles else 0 for box in boxes]
    costs = [hit + (0 if inside.contains(box) else 10) for hit, box in zip(hits, boxes, strict=True)]
    return spots[costs.index(min(costs))]
