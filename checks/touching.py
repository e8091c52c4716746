"""Where lines lie close to each other: exact, symmetric, one stretch for each separate closeness. Millimetres.

For two segments the set of pairs of points (one on each) closer than a limit is convex. So for two polylines the
separate parts of that set are found exactly: two neighbouring pairs of segments belong together if the corner that
they share is closer than the limit to the other segment.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from checks.segments import (
    Disc,
    Floats,
    Ints,
    Nearest,
    Path,
    Segments,
    clip_to_disc,
    cut_out,
    nearest,
    segments_of,
    to_segment,
)

__all__ = ["MOST_CONTACTS", "SLACK_MM", "Closeness", "Hub", "Stretch", "TooTangledError"]

SLACK_MM = 1e-6
"""Distances are compared with this slack: closer than `d` is less than d − slack, within `r` at most r + slack."""


MOST_CONTACTS = 20_000
"""More separate stretches than this are refused: no layout that anyone means to sew has them."""

_MOST_PAIRS = 100_000_000
_CHUNK = 4_000_000


class TooTangledError(Exception):
    """So many lines lie on top of each other that the work was refused; the layout must not pass."""


@dataclass(frozen=True)
class Stretch:
    """One closeness of two polylines (indices `a` < `b`): where they are nearest, and how long it goes on.

    `at_a_mm`, `at_b_mm`: way along each to its nearest point; `length_a_mm`, `length_b_mm`: how much of each lies
    closer than the limit to the other, within this stretch.
    """

    a: int
    b: int
    distance_mm: float
    point_a: tuple[float, float]
    point_b: tuple[float, float]
    at_a_mm: float
    at_b_mm: float
    length_a_mm: float
    length_b_mm: float


@dataclass(frozen=True)
class Hub:
    """A place where several lines are joined: its disc (radius 0 for a join), and which end of which path lies there.

    `paths` maps each path that is joined here to its end: 0 first point, −1 last point, None where it passes over.
    """

    disc: Disc
    paths: Mapping[int, int | None]


class _Pairs:
    """All pairs of segments of different polylines within `reach`, with their distances."""

    def __init__(self, segments: Segments, reach: float) -> None:
        self.segments = segments
        self.a, self.b = _candidates(segments, reach)
        ends = segments.start, segments.end
        found = nearest(ends[0][self.a], ends[1][self.a], ends[0][self.b], ends[1][self.b])
        near = found.distance <= reach
        self.a, self.b = self.a[near], self.b[near]
        self.found = Nearest(*(some[near] for some in found))
        self.corner_a = to_segment(ends[1][self.a], ends[0][self.b], ends[1][self.b])[0]
        self.corner_b = to_segment(ends[1][self.b], ends[0][self.a], ends[1][self.a])[0]

    def labels(self, limit: float) -> tuple[Ints, Ints]:
        """The pairs closer than `limit`, and for each the number of the stretch that it belongs to."""
        close = np.flatnonzero(self.found.distance < limit)
        size = len(self.segments) + 1
        keys = self.a[close] * size + self.b[close]
        edges = [
            self._edges(keys, close[self.segments.linked[side[close]] & (corner[close] < limit)], step)
            for side, corner, step in ((self.a, self.corner_a, size), (self.b, self.corner_b, 1))
        ]
        rows, columns = np.concatenate([pair[0] for pair in edges]), np.concatenate([pair[1] for pair in edges])
        links = coo_array((np.ones(len(rows)), (rows, columns)), shape=(len(close), len(close)))
        if not len(close):
            return close, close
        return close, connected_components(links, directed=False)[1].astype(np.intp)

    def _edges(self, keys: Ints, at: Ints, step: int) -> tuple[Ints, Ints]:
        """Neighbouring pairs, as positions in the sorted `keys`: a pair and the one whose key is `step` more."""
        own = self.a[at] * (len(self.segments) + 1) + self.b[at]
        return np.searchsorted(keys, own), np.searchsorted(keys, own + step)


def _candidates(segments: Segments, reach: float) -> tuple[Ints, Ints]:
    """Pairs of rows of different polylines whose boxes lie within `reach`, sorted by first, then second row.

    A sweep: rows sorted by where their boxes begin, along the axis on which fewer of them overlap.
    """
    low = np.minimum(segments.start, segments.end)
    high = np.maximum(segments.start, segments.end) + reach
    sweeps = [_sweep(low[:, axis], high[:, axis]) for axis in (0, 1)]
    axis = int(np.argmin([counts.sum() for _, counts in sweeps]))
    order, counts = sweeps[axis]
    if counts.sum() > _MOST_PAIRS:
        raise TooTangledError(f"{counts.sum()} pairs of segments may lie close to each other")
    across = 1 - axis
    found: list[Ints] = []
    for rows in np.array_split(np.arange(len(order)), max(1, int(counts.sum()) // _CHUNK)):
        many = counts[rows]
        one = np.repeat(rows, many)
        other = one + 1 + np.arange(len(one)) - np.repeat(np.cumsum(many) - many, many)
        a, b = order[one], order[other]
        near = (low[a, across] <= high[b, across]) & (low[b, across] <= high[a, across])
        near &= segments.line[a] != segments.line[b]
        found.append(np.sort(np.stack([a[near], b[near]]), axis=0))
    a, b = np.concatenate(found, axis=1) if found else np.zeros((2, 0), dtype=np.intp)
    in_order = np.lexsort((b, a))
    return a[in_order], b[in_order]


def _sweep(low: Floats, high: Floats) -> tuple[Ints, Ints]:
    """Rows in order of `low`, and for each how many of the rows after it begin before it ends."""
    order = np.argsort(low, kind="stable")
    return order, np.searchsorted(low[order], high[order], side="right") - np.arange(len(order)) - 1


class Closeness:
    """All closeness up to `reach` among the polylines of one piece; `covers` are the discs that keep them apart."""

    def __init__(self, paths: Sequence[Path], covers: Sequence[Disc], reach: float) -> None:
        self.segments = segments_of(paths)
        self._whole = _Pairs(self.segments, reach)
        self._cut = _Pairs(cut_out(self.segments, covers), reach) if covers else self._whole
        self._first = np.searchsorted(self.segments.line, np.arange(len(paths)))
        self._last = np.searchsorted(self.segments.line, np.arange(len(paths)), side="right") - 1

    def stretches(
        self, closer_than: float, hubs: Sequence[Hub] = (), wanted: Callable[[int, int], bool] = lambda a, b: True
    ) -> list[Stretch]:
        """Stretches closer than `closer_than` ≤ reach; closeness at a hub of both lines is left out.

        Left out is the whole stretch that goes on from the hub, for there the lines are joined already. Covers'
        discs are cut out of both lines first. Pairs of lines that are not `wanted` are left out.
        """
        limit = closer_than - SLACK_MM
        pairs = self._cut
        close, label = pairs.labels(limit)
        order = np.argsort(label, kind="stable")
        groups = np.split(order, np.flatnonzero(np.diff(label[order])) + 1) if len(order) else []
        if len(groups) > MOST_CONTACTS:
            raise TooTangledError(f"{len(groups)} places at which lines lie close to each other")
        at_hub = self._at_hub(limit, hubs)
        found: list[Stretch] = []
        whole, line = pairs.segments.whole, pairs.segments.line
        for group in groups:
            cells = close[group]
            a, b = pairs.a[cells[0]], pairs.b[cells[0]]
            if (int(whole[a]), int(whole[b])) not in at_hub and wanted(int(line[a]), int(line[b])):
                found.append(_stretch(pairs, cells, limit))
        return sorted(found, key=lambda one: (one.a, one.b, one.at_a_mm, one.at_b_mm))

    def _at_hub(self, limit: float, hubs: Sequence[Hub]) -> set[tuple[int, int]]:
        """Pairs of uncut rows that belong to a stretch at a hub of both their lines."""
        if not hubs:
            return set()
        shared: dict[tuple[int, int], list[Hub]] = {}
        for hub in hubs:
            paths = sorted(hub.paths)
            for index, a in enumerate(paths):
                for b in paths[index + 1 :]:
                    shared.setdefault((a, b), []).append(hub)
        pairs = self._whole
        close, label = pairs.labels(limit)
        line = pairs.segments.line
        dropped: set[int] = set()
        for at, row in enumerate(close):
            a, b = int(pairs.a[row]), int(pairs.b[row])
            hubs_here = shared.get((int(line[a]), int(line[b])))
            if hubs_here and label[at] not in dropped and any(self._meets(a, b, hub, limit) for hub in hubs_here):
                dropped.add(int(label[at]))
        inside = np.isin(label, list(dropped))
        return set(zip(pairs.a[close[inside]].tolist(), pairs.b[close[inside]].tolist(), strict=True))

    def _meets(self, a: int, b: int, hub: Hub, limit: float) -> bool:
        """Whether rows a and b are close to each other at the hub."""
        ends = [self._ends_at(row, hub) for row in (a, b)]
        if None not in ends:
            return True
        reach = Disc(hub.disc.x, hub.disc.y, hub.disc.radius + SLACK_MM)
        parts: list[Floats] = []
        for row, end in zip((a, b), ends, strict=True):
            clip = (end, end) if end is not None else None
            clip = _hull(clip, clip_to_disc(self.segments.point(row, 0.0), self.segments.point(row, 1.0), reach))
            if clip is None:
                return False
            parts += [np.array([self.segments.point(row, share)]) for share in clip]
        return bool(nearest(*parts).distance[0] < limit)

    def _ends_at(self, row: int, hub: Hub) -> float | None:
        """The share of the row at which its line ends at the hub, if it does."""
        path = int(self.segments.line[row])
        end = hub.paths[path]
        if end is None or row != (self._first if end == 0 else self._last)[path]:
            return None
        return 0.0 if end == 0 else 1.0


def _hull(one: tuple[float, float] | None, other: tuple[float, float] | None) -> tuple[float, float] | None:
    if one is None or other is None:
        return one or other
    return (min(one[0], other[0]), max(one[1], other[1]))


def _stretch(pairs: _Pairs, cells: Ints, limit: float) -> Stretch:
    segments, found = pairs.segments, pairs.found
    least = int(cells[np.argmin(found.distance[cells])])
    a, b = int(pairs.a[least]), int(pairs.b[least])
    along_a, along_b = float(found.along_a[least]), float(found.along_b[least])
    return Stretch(
        int(segments.line[a]),
        int(segments.line[b]),
        float(found.distance[least]),
        segments.point(a, along_a),
        segments.point(b, along_b),
        float(segments.at_mm[a] + along_a * segments.length[a]),
        float(segments.at_mm[b] + along_b * segments.length[b]),
        _length(segments, pairs.a[cells], pairs.b[cells], limit),
        _length(segments, pairs.b[cells], pairs.a[cells], limit),
    )


def _length(segments: Segments, own: Ints, other: Ints, limit: float) -> float:
    """How much of the rows `own` lies closer than `limit` to the rows `other` that are paired with them."""
    parts: dict[int, list[tuple[float, float]]] = {}
    for mine, theirs in zip(own.tolist(), other.tolist(), strict=True):
        part = _close_part(segments, mine, theirs, limit)
        if part is not None:
            parts.setdefault(mine, []).append(part)
    lengths: Floats = segments.length
    return math.fsum(float(lengths[row]) * _covered(some) for row, some in parts.items())


def _close_part(segments: Segments, row: int, other: int, limit: float) -> tuple[float, float] | None:
    """The share of a row that lies within `limit` of another: inside the discs at its ends or the strip between."""
    start, end = segments.point(row, 0.0), segments.point(row, 1.0)
    p, q = segments.point(other, 0.0), segments.point(other, 1.0)
    hull = _hull(clip_to_disc(start, end, Disc(*p, limit)), clip_to_disc(start, end, Disc(*q, limit)))
    length = math.dist(p, q)
    if length == 0:
        return hull
    ux, uy = (q[0] - p[0]) / length, (q[1] - p[1]) / length
    low, high = 0.0, 1.0
    for axis_x, axis_y, least, most in ((ux, uy, 0.0, length), (-uy, ux, -limit, limit)):
        at = (start[0] - p[0]) * axis_x + (start[1] - p[1]) * axis_y
        step = (end[0] - start[0]) * axis_x + (end[1] - start[1]) * axis_y
        if abs(step) < 1e-12:
            if not least <= at <= most:
                return hull
            continue
        enter, leave = sorted(((least - at) / step, (most - at) / step))
        low, high = max(low, enter), min(high, leave)
    return _hull(hull, (low, high)) if low <= high else hull


def _covered(parts: list[tuple[float, float]]) -> float:
    """Length of the union of intervals."""
    total, at = 0.0, -math.inf
    for low, high in sorted(parts):
        total += max(0.0, high - max(low, at))
        at = max(at, high)
    return total
