"""A drawing at true scale, cut into pages that overlap, with marks to lay one page on the next."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from projects.drawing.svg import Element, el, num, path, to_svg

__all__ = ["MARGIN_MM", "OVERLAP_MM", "TILE_MM", "Tile", "tiles"]

TILE_MM = (184.0, 194.0)
"""Room for one tile, mm: beside heading and bar inside the margins of A4 and of Letter alike."""

OVERLAP_MM = 12.0
MARGIN_MM = 0.5  # half of the outline's stroke lies outside of the piece
_INK = "#2a211a"

ElementTree.register_namespace("", "http://www.w3.org/2000/svg")


@dataclass(frozen=True)
class Tile:
    """One page of a drawing: its row and column, counted from 1, and what it shows in true millimetres."""

    row: int
    column: int
    svg: str
    width_mm: float
    height_mm: float


def tiles(svg: str) -> tuple[Tile, ...]:
    """The drawing in tiles, row by row; one tile if it fits the page.

    `svg` has its true size in mm and a viewBox in mm, as `projects.drawing.draw` makes it.
    """
    left, top, wide, high = (float(value) for value in ElementTree.fromstring(svg).attrib["viewBox"].split())
    across = list(_windows(left - MARGIN_MM, wide + 2 * MARGIN_MM, TILE_MM[0]))
    down = list(_windows(top - MARGIN_MM, high + 2 * MARGIN_MM, TILE_MM[1]))
    return tuple(
        Tile(row, column, _cut(svg, x, y, (row, column), (len(down), len(across))), x[1] - x[0], y[1] - y[0])
        for row, y in enumerate(down, 1)
        for column, x in enumerate(across, 1)
    )


def _windows(start: float, length: float, most: float) -> Iterator[tuple[float, float]]:
    """Equal windows of at most `most` that overlap by OVERLAP_MM and cover the length.

    >>> list(_windows(0.0, 100.0, 184.0))
    [(0.0, 100.0)]
    >>> [(round(a), round(b)) for a, b in _windows(0.0, 300.0, 184.0)]
    [(0, 156), (144, 300)]
    """
    count = 1 if length <= most else math.ceil((length - OVERLAP_MM) / (most - OVERLAP_MM))
    size = (length + (count - 1) * OVERLAP_MM) / count
    for number in range(count):
        first = start + number * (size - OVERLAP_MM)
        yield first, first + size


def _cut(svg: str, x: tuple[float, float], y: tuple[float, float], at: tuple[int, int], of: tuple[int, int]) -> str:
    """The same drawing seen through one window, with its overlap marks on top."""
    root = ElementTree.fromstring(svg)
    root.set("viewBox", f"{x[0]:.4f} {y[0]:.4f} {x[1] - x[0]:.4f} {y[1] - y[0]:.4f}")
    root.set("width", f"{x[1] - x[0]:.4f}mm")
    root.set("height", f"{y[1] - y[0]:.4f}mm")
    _keep_words_inside(root, x, y)
    root.extend(_marks(x, y, at, of))
    return to_svg(root)


def _keep_words_inside(root: Element, x: tuple[float, float], y: tuple[float, float]) -> None:
    """No word is cut by the window's edge: one whose middle lies outside goes, one that pokes out moves in."""
    for parent in list(root.iter()):
        for word in [child for child in parent if child.tag.rpartition("}")[2] == "text"]:
            at = float(word.get("x", "0")), float(word.get("y", "0"))
            size = float(word.get("font-size", "0"))
            if not (x[0] <= at[0] <= x[1] and y[0] <= at[1] - 0.36 * size <= y[1]):
                parent.remove(word)
                continue
            half = min(0.4 * size * len(word.text or "") + 0.5, (x[1] - x[0]) / 2)
            word.set("x", num(min(max(at[0], x[0] + half), x[1] - half)))
            word.set("y", num(min(max(at[1], y[0] + size), y[1] - 0.3 * size)))


def _marks(
    x: tuple[float, float], y: tuple[float, float], at: tuple[int, int], of: tuple[int, int]
) -> Iterator[Element]:
    """A broken line in the middle of each overlap and two diamonds on it; neighbours carry them at the same places."""
    half = OVERLAP_MM / 2
    if at[1] > 1:
        yield from _seam((x[0] + half, y[0]), (x[0] + half, y[1]))
    if at[1] < of[1]:
        yield from _seam((x[1] - half, y[0]), (x[1] - half, y[1]))
    if at[0] > 1:
        yield from _seam((x[0], y[0] + half), (x[1], y[0] + half))
    if at[0] < of[0]:
        yield from _seam((x[0], y[1] - half), (x[1], y[1] - half))


def _seam(start: tuple[float, float], end: tuple[float, float]) -> Iterator[Element]:
    line: dict[str, str | float | None] = {"stroke": _INK, "stroke_width": 0.25, "fill": "none"}
    yield el("path", d=path((start, end)), stroke_dasharray="3 2", data_overlap="line", **line)
    for share in (0.25, 0.75):
        px, py = (a + share * (b - a) for a, b in zip(start, end, strict=True))
        diamond = path(((px - 2.5, py), (px, py - 2.5), (px + 2.5, py), (px, py + 2.5)), closed=True)
        cross = path(((px - 4, py), (px + 4, py))) + path(((px, py - 4), (px, py + 4)))
        yield el("path", d=diamond + cross, data_overlap=f"{num(px)},{num(py)}", **line)
