"""Lines as running stitch at the real pitch, in the state that an overlay gives them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from projects.circuit.layout import Side
from projects.drawing.overlay import LineState
from projects.drawing.style import GLOW, INK, PALE, WARN, Style
from projects.drawing.svg import Element, el, path

__all__ = ["Dashes", "along", "badge_distances", "dashes", "draw_anchor", "draw_line", "length"]

Points = Sequence[tuple[float, float]]

_WIDTH: dict[LineState, float] = {"plain": 0.9, "done": 1.1, "now": 1.9, "next": 0.5, "ghost": 0.6, "wrong": 0.9}
_HATCH_MM = 4.0
_ARROW_MM = 22.0
_BADGE_MM = 55.0


@dataclass(frozen=True)
class Dashes:
    """Stitches of one line: how many in all, and dash, gap and offset (mm) of those that one side shows."""

    stitches: int
    dash: float
    gap: float
    offset: float


def dashes(length_mm: float, stitch_mm: float, side: Side, width: float = 0.0) -> Dashes:
    """Running stitch over a length: every other stitch shows on the outside, the ones between on the inside.

    The pitch is fitted so that a whole number of stitches fills the line; round caps of `width` are
    taken off the dash, so that a stitch looks as long as it is.

    >>> dashes(40, 5, "outside")
    Dashes(stitches=8, dash=5.0, gap=5.0, offset=0.0)
    >>> dashes(40, 5, "inside").offset
    5.0
    """
    stitches = max(1, round(length_mm / stitch_mm))
    pitch = length_mm / stitches
    cap = min(width, 0.6 * pitch)
    offset = 0.0 if side == "outside" else pitch
    return Dashes(stitches, pitch - cap, pitch + cap, offset - cap / 2)


def length(points: Points) -> float:
    """Length of a polyline, mm."""
    return math.fsum(math.dist(a, b) for a, b in pairwise(points))


def along(points: Points, distance: float) -> tuple[float, float, float, float]:
    """Point and unit direction (x, y, dx, dy) at a distance along a polyline; clamped to its ends."""
    left = max(distance, 0.0)
    x, y, dx, dy = *points[0], 1.0, 0.0
    for a, b in pairwise(points):
        step = math.dist(a, b)
        if step == 0.0:
            continue
        dx, dy = (b[0] - a[0]) / step, (b[1] - a[1]) / step
        if left <= step:
            return (a[0] + dx * left, a[1] + dy * left, dx, dy)
        left -= step
        x, y = b
    return (x, y, dx, dy)


def _spread(total: float, every: float) -> Iterator[float]:
    count = max(1, round(total / every))
    return ((i + 0.5) * total / count for i in range(min(count, 400)))


def badge_distances(points: Points) -> tuple[float, ...]:
    """Distances along a line at which its label is repeated, kept off the bends; none on a very short line."""
    total = length(points)
    if total < 7.0:
        return ()
    ends = [0.0]
    for a, b in pairwise(points):
        ends.append(ends[-1] + math.dist(a, b))
    straights = [(a, b) for a, b in pairwise(ends) if b - a >= 8.0]
    return tuple(dict.fromkeys(_off_bends(at, straights) for at in _spread(total, _BADGE_MM)))


def _off_bends(distance: float, straights: Sequence[tuple[float, float]]) -> float:
    """The nearest distance at least 4 mm from the ends of a straight stretch; as it is where all are short."""
    kept = [min(max(distance, a + 4.0), b - 4.0) for a, b in straights]
    return min(kept, key=lambda at: abs(at - distance), default=distance)


def draw_line(
    points: Points, name: str, state: LineState, colour: str, side: Side, stitch_mm: float, style: Style
) -> Element:
    """One line as a group: the thread on the far side as a hair line, the stitches, and what its state adds.

    done: stitches on a dark core. now: thick, on a glow, with arrows. next: thin. ghost: pale dots.
    wrong: short strokes across it.
    """
    group = el("g", data_line=name, data_state=state, fill="none", stroke_linecap="round", stroke_linejoin="round")
    total = length(points)
    if total == 0.0:
        return group
    d, width = path(points), _WIDTH[state]
    ink = style.ink({"ghost": PALE, "wrong": WARN, "done": INK}.get(state, colour))
    stitch = dashes(total, stitch_mm, side, width)
    pattern = f"{stitch.dash:.3f} {stitch.gap:.3f}"
    if state == "now":
        group.append(el("path", d=d, stroke=style.ink(GLOW), stroke_width=4.4))
    if state == "ghost":
        group.append(el("path", d=d, stroke=ink, stroke_width=width, stroke_dasharray="0.1 1.9"))
        return group
    core = el("path", d=d, stroke=ink, stroke_width=width * 0.55 if state == "done" else 0.18)
    group.append(core)
    group.append(
        el(
            "path",
            d=d,
            stroke=ink,
            stroke_width=width,
            stroke_dasharray=pattern,
            stroke_dashoffset=f"{stitch.offset:.3f}",
        )
    )
    if state == "now":
        group.extend(_arrow(points, at, ink) for at in _spread(total, _ARROW_MM))
    if state == "wrong":
        strokes = (_across(points, at) for at in _spread(total, _HATCH_MM))
        group.append(el("path", d="".join(strokes), stroke=ink, stroke_width=0.5))
    return group


def _arrow(points: Points, distance: float, ink: str) -> Element:
    x, y, dx, dy = along(points, distance + 1.8)
    wing = (
        (x - 3.6 * dx - 2.1 * dy, y - 3.6 * dy + 2.1 * dx),
        (x, y),
        (x - 3.6 * dx + 2.1 * dy, y - 3.6 * dy - 2.1 * dx),
    )
    return el("path", d=path(wing, closed=True), fill=ink, stroke="#ffffff", stroke_width=0.3)


def _across(points: Points, distance: float) -> str:
    x, y, dx, dy = along(points, distance)
    return path(((x - dy - dx, y + dx - dy), (x + dy + dx, y - dx + dy)))


def draw_anchor(
    at: tuple[float, float], towards: tuple[float, float], radius: float, colour: str, style: Style
) -> Element:
    """Three tight stitches over the rim of a terminal, on the side that the line comes from."""
    x, y = at
    turn = math.atan2(towards[1] - y, towards[0] - x)
    ticks = ""
    for lean in (-0.55, 0.0, 0.55):
        cos, sin = math.cos(turn + lean), math.sin(turn + lean)
        ticks += path(
            ((x + 0.4 * radius * cos, y + 0.4 * radius * sin), (x + 1.25 * radius * cos, y + 1.25 * radius * sin))
        )
    return el("path", d=ticks, fill="none", stroke=style.ink(colour), stroke_width=0.45, stroke_linecap="round")
