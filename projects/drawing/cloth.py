"""The fabric under everything: piece, seam allowance, grid; and covers, as pinked circles of cloth."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry import LineString, Polygon

from projects.circuit.text import msg
from projects.drawing.style import CLOTH, EDGE, PALE, Style
from projects.drawing.svg import Element, el, path, text
from projects.drawing.view import View

__all__ = ["draw_cloth", "draw_cover", "grid_path", "seam_rings"]

_GRID_MM = 5.0


def draw_cloth(view: View, style: Style) -> Element:
    """The piece as cloth, its seam allowance as a broken line, and the grid where the style wants one."""
    edge = style.ink(EDGE)
    group = el("g", fill="none", data_cloth=view.piece.name)
    outline = path(view.all(view.piece.outline), closed=True)
    group.append(el("path", d=outline, fill=style.ink(CLOTH), stroke=edge, stroke_width=0.7, stroke_linejoin="round"))
    if style.grid:
        group.append(el("path", d=grid_path(view), stroke=edge, stroke_width=0.15, opacity=0.5))
    for ring in seam_rings(view):
        group.append(el("path", d=path(ring, closed=True), stroke=edge, stroke_width=0.35, stroke_dasharray="3 1.5"))
    return group


def seam_rings(view: View) -> list[list[tuple[float, float]]]:
    """Rings that bound the fabric inside its seam allowance; none where there is no allowance."""
    if view.piece.seam_allowance == 0:
        return []
    inner = Polygon(view.piece.outline).buffer(-view.piece.seam_allowance, join_style="mitre")
    shapes = inner.geoms if hasattr(inner, "geoms") else (inner,)
    return [view.all((x, y) for x, y, *_ in shape.exterior.coords[:-1]) for shape in shapes if not shape.is_empty]


def grid_path(view: View) -> str:
    """Lines 5 mm apart on the piece, counted from the fabric's origin."""
    cloth = Polygon(view.piece.outline)
    left, top, right, bottom = cloth.bounds
    lines = [((x, top), (x, bottom)) for x in _multiples(left, right)]
    lines += [((left, y), (right, y)) for y in _multiples(top, bottom)]
    cut = shapely.get_parts(shapely.intersection(cloth, shapely.linestrings(lines))) if lines else ()
    return "".join(
        path(view.all((x, y) for x, y, *_ in line.coords))
        for line in cut
        if isinstance(line, LineString) and not line.is_empty
    )


def _multiples(low: float, high: float) -> Iterator[float]:
    return (i * _GRID_MM for i in range(math.ceil(low / _GRID_MM), math.floor(high / _GRID_MM) + 1))


def draw_cover(cover: tuple[float, float, float], view: View, style: Style) -> Element:
    """A scrap of cloth (x, y, radius as drawn, mm) with a pinked edge."""
    x, y, radius = cover
    teeth = max(10, min(120, round(2 * math.pi * radius / 2.2)))
    edge = []
    for i in range(2 * teeth):
        reach = radius if i % 2 == 0 else max(radius - 1.0, 0.7 * radius)
        edge.append((x + reach * math.cos(math.pi * i / teeth), y + reach * math.sin(math.pi * i / teeth)))
    return el(
        "g",
        text("title", style.say(msg("cover"))),
        el("path", d=path(edge, closed=True), fill="#ffffff", stroke=style.ink(PALE), stroke_width=0.4),
        data_cover=f"{x:.1f},{y:.1f}",
    )
