"""Polylines as rows of segments, and the distances between them, many at a time.

Millimetres throughout. A row is one straight segment; rows of one polyline follow each other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["Disc", "Nearest", "Segments", "clip_to_disc", "cut_out", "nearest", "segments_of", "to_segment"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Path = Sequence[tuple[float, float]]

_TIE = 1e-9


class Disc(NamedTuple):
    """A disc: centre and radius, mm."""

    x: float
    y: float
    radius: float


class Nearest(NamedTuple):
    """Per pair of segments: their distance, and how far along each (0 to 1) the nearest points lie."""

    distance: Floats
    along_a: Floats
    along_b: Floats


@dataclass(frozen=True, eq=False)
class Segments:
    """`line`: index of the polyline; `whole`: row of the uncut segment that this one is a part of;
    `start`, `end`: shape (n, 2); `at_mm`: way along the polyline at `start`; `linked`: the next row goes on
    where this one ends.
    """

    line: Ints
    whole: Ints
    start: Floats
    end: Floats
    at_mm: Floats
    linked: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.line)

    @property
    def length(self) -> Floats:
        """Length of each segment."""
        return np.asarray(np.hypot(*(self.end - self.start).T))

    def shapes(self) -> NDArray[np.object_]:
        """Each segment as a shapely line."""
        return np.asarray(shapely.linestrings(np.stack([self.start, self.end], axis=1)), dtype=np.object_)

    def point(self, row: int, along: float) -> tuple[float, float]:
        """The point at the share `along` of a row."""
        x, y = self.start[row] + along * (self.end[row] - self.start[row])
        return (float(x), float(y))


def segments_of(paths: Sequence[Path]) -> Segments:
    """All segments of `paths`, in order; a path of n points gives n − 1 rows."""
    counts = [len(path) - 1 for path in paths]
    if not sum(counts):
        none = np.zeros(0, dtype=np.intp)
        return Segments(none, none, np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0), np.zeros(0, dtype=bool))
    points = [np.asarray(path, dtype=np.float64) for path in paths]
    start = np.concatenate([some[:-1] for some in points])
    end = np.concatenate([some[1:] for some in points])
    line = np.repeat(np.arange(len(paths)), counts)
    before = np.concatenate([[0.0], np.cumsum(np.hypot(*(end - start).T))[:-1]])
    first = np.repeat(np.concatenate([[0], np.cumsum(counts)[:-1]]), counts)
    linked = np.append(line[1:] == line[:-1], False)
    return Segments(line, np.arange(len(line)), start, end, before - before[first], linked)


def to_segment(points: Floats, start: Floats, end: Floats) -> tuple[Floats, Floats]:
    """Distance from each point to its segment, and how far along (0 to 1) the nearest point lies; shapes (n, 2)."""
    way = end - start
    square = np.einsum("ij,ij->i", way, way)
    along = np.einsum("ij,ij->i", points - start, way) / np.where(square > 0, square, 1.0)
    along = np.clip(along, 0.0, 1.0)
    gap = points - start - along[:, None] * way
    return np.hypot(gap[:, 0], gap[:, 1]), along


def nearest(a_start: Floats, a_end: Floats, b_start: Floats, b_end: Floats) -> Nearest:
    """Nearest points of n pairs of segments.

    Where several are equally near (parallel segments), the middle of them: distance is convex along both, so
    the middle is as near; and the answer does not depend on the direction or order of the two.
    """
    at_a0, b_of_a0 = to_segment(a_start, b_start, b_end)
    at_a1, b_of_a1 = to_segment(a_end, b_start, b_end)
    at_b0, a_of_b0 = to_segment(b_start, a_start, a_end)
    at_b1, a_of_b1 = to_segment(b_end, a_start, a_end)
    zero, one = np.zeros_like(at_a0), np.ones_like(at_a0)
    distances = np.stack([at_a0, at_a1, at_b0, at_b1])
    along_a = np.stack([zero, one, a_of_b0, a_of_b1])
    along_b = np.stack([b_of_a0, b_of_a1, zero, one])
    least = distances.min(axis=0)
    tied = distances <= least + _TIE
    share = tied / tied.sum(axis=0)
    found_a, found_b = (along_a * share).sum(axis=0), (along_b * share).sum(axis=0)
    a_way, b_way, between = a_end - a_start, b_end - b_start, b_start - a_start
    turn = a_way[:, 0] * b_way[:, 1] - a_way[:, 1] * b_way[:, 0]
    safe = np.where(turn != 0, turn, 1.0)
    cross_a = (between[:, 0] * b_way[:, 1] - between[:, 1] * b_way[:, 0]) / safe
    cross_b = (between[:, 0] * a_way[:, 1] - between[:, 1] * a_way[:, 0]) / safe
    meet = (turn != 0) & (cross_a >= 0) & (cross_a <= 1) & (cross_b >= 0) & (cross_b <= 1)
    return Nearest(np.where(meet, 0.0, least), np.where(meet, cross_a, found_a), np.where(meet, cross_b, found_b))


def clip_to_disc(start: tuple[float, float], end: tuple[float, float], disc: Disc) -> tuple[float, float] | None:
    """The part of a segment inside a disc, as shares (0 to 1) of its way; None where it stays outside."""
    way_x, way_y = end[0] - start[0], end[1] - start[1]
    from_x, from_y = start[0] - disc.x, start[1] - disc.y
    square = way_x * way_x + way_y * way_y
    if square == 0:
        return (0.0, 1.0) if math.hypot(from_x, from_y) <= disc.radius else None
    middle = -(from_x * way_x + from_y * way_y) / square
    off = abs(from_x * way_y - from_y * way_x) / math.sqrt(square)
    if off > disc.radius:
        return None
    half = math.sqrt(max(disc.radius * disc.radius - off * off, 0.0) / square)
    low, high = max(middle - half, 0.0), min(middle + half, 1.0)
    return (low, high) if low <= high else None


def cut_out(segments: Segments, discs: Sequence[Disc]) -> Segments:
    """The parts of the segments that lie outside all discs; a gap ends the link between neighbours."""
    rows: list[tuple[int, float, float]] = []
    hit = _near_any(segments, discs)
    for row in range(len(segments)):
        if not hit[row]:
            rows.append((row, 0.0, 1.0))
            continue
        start, end = segments.point(row, 0.0), segments.point(row, 1.0)
        clips = [clip for disc in discs if (clip := clip_to_disc(start, end, disc)) is not None and clip[0] < clip[1]]
        rows.extend((row, low, high) for low, high in _outside(clips))
    whole = np.array([row for row, _, _ in rows], dtype=np.intp)
    low = np.array([low for _, low, _ in rows])
    high = np.array([high for _, _, high in rows])
    way = segments.end[whole] - segments.start[whole]
    follows = (whole[1:] == whole[:-1] + 1) & (high[:-1] == 1.0) & (low[1:] == 0.0)
    linked = np.append(follows & segments.linked[whole[:-1]], False) if len(rows) else np.zeros(0, dtype=bool)
    return Segments(
        segments.line[whole],
        whole,
        segments.start[whole] + low[:, None] * way,
        np.where(high[:, None] == 1.0, segments.end[whole], segments.start[whole] + high[:, None] * way),
        segments.at_mm[whole] + low * segments.length[whole],
        linked,
    )


def _near_any(segments: Segments, discs: Sequence[Disc]) -> NDArray[np.bool_]:
    hit = np.zeros(len(segments), dtype=bool)
    for disc in discs:
        centre = np.broadcast_to(np.array([disc.x, disc.y]), segments.start.shape)
        hit |= to_segment(centre, segments.start, segments.end)[0] < disc.radius
    return hit


def _outside(clips: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is left of 0 to 1 without the clips."""
    left: list[tuple[float, float]] = []
    at = 0.0
    for low, high in sorted(clips):
        if low > at:
            left.append((at, low))
        at = max(at, high)
    if at < 1.0:
        left.append((at, 1.0))
    return left
