"""Close stretches, passages and lengths beneath bodies: against hand values, and against dense sampling."""

import itertools
import math
import random

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import label

from checks.beneath import length_in_circle, length_in_polygon
from checks.passages import passages
from checks.segments import Disc, segments_of
from checks.touching import Closeness, Hub, Stretch

CONTACT = 2.0


def stretches(
    *paths: list[tuple[float, float]], covers: tuple[Disc, ...] = (), hubs: tuple[Hub, ...] = ()
) -> list[Stretch]:
    return Closeness(paths, covers, 5.0).stretches(CONTACT, hubs)


def test_a_crossing_is_one_stretch_at_the_crossing() -> None:
    (one,) = stretches([(0, 0), (20, 0)], [(10, -10), (10, 10)])
    assert (one.distance_mm, one.point_a, one.point_b) == (0.0, (10, 0), (10, 0))
    assert (one.at_a_mm, one.at_b_mm) == (10, 10)
    assert one.length_a_mm == pytest.approx(4, abs=1e-5)
    assert one.length_b_mm == pytest.approx(4, abs=1e-5)


@pytest.mark.parametrize(("gap", "count"), [(1.999, 1), (2.0, 0), (2.0 - 1e-7, 0), (2.001, 0)])
def test_exactly_at_contact_is_no_touch(gap: float, count: int) -> None:
    assert len(stretches([(0, 0), (20, 0)], [(0, gap), (20, gap)])) == count


def test_side_by_side_is_one_stretch_in_the_middle() -> None:
    (one,) = stretches([(0, 0), (10, 0), (20, 0), (60, 0)], [(5, 1), (30, 1), (55, 1)])
    assert one.distance_mm == pytest.approx(1)
    assert one.length_b_mm == pytest.approx(50)
    assert one.length_a_mm == pytest.approx(50 + 2 * math.sqrt(3), abs=1e-4)


def test_fifty_mm_under_two_small_covers_are_three() -> None:
    paths = [(0, 0), (50, 0)], [(0, 1), (50, 1)]
    covers = (Disc(15, 0.5, 4), Disc(35, 0.5, 4))
    found = stretches(*paths, covers=covers)
    assert len(found) == 3
    assert [one.distance_mm for one in found] == pytest.approx([1, 1, 1])


def test_a_cover_cuts_a_shallow_crossing_in_two() -> None:
    # At 10° the lines are 2 × 6 × sin 5° = 1.05 mm apart where they leave a disc of 6 mm.
    slope = math.tan(math.radians(10)) * 40
    found = stretches([(-40, 0), (40, 0)], [(-40, -slope), (40, slope)], covers=(Disc(0, 0, 6),))
    assert [one.distance_mm for one in found] == pytest.approx([12 * math.sin(math.radians(5))] * 2, rel=0.02)


def test_three_crossings_are_three() -> None:
    zigzag = [(0, -10), (10, 10), (20, -10), (30, 10)]
    assert len(stretches([(-5, 0), (35, 0)], zigzag)) == 3


def test_doubling_back_is_no_contact_with_itself() -> None:
    assert stretches([(0, 0), (20, 0), (0, 1)]) == []


def test_a_common_end_is_no_contact_but_a_later_crossing_is() -> None:
    hub = Hub(Disc(0, 0, 2), {0: 0, 1: 0})
    fan = [(0, 0), (50, 0)], [(0, 0), (50, 5)]
    assert stretches(*fan, hubs=(hub,)) == []
    assert len(stretches(*fan)) == 1
    back = [(0, 0), (30, 20), (40, -20)]
    (one,) = stretches([(0, 0), (50, 0)], back, hubs=(hub,))
    assert one.point_a == pytest.approx((35, 0))


def test_a_line_over_the_end_of_another_meets_it_at_the_terminal_alone() -> None:
    hub = Hub(Disc(0, 0, 2), {0: None, 1: 0})
    assert stretches([(-20, 1), (20, 1)], [(0, 0), (0, -20)], hubs=(hub,)) == []


def brute(a: list[tuple[float, float]], b: list[tuple[float, float]], limit: float, step: float) -> int:
    """Number of separate parts of {(s, t): closer than limit}, from a grid of points `step` apart."""
    points = []
    for path in (a, b):
        line = shapely.LineString(path)
        along = np.arange(0, line.length + step / 2, step)
        points.append(shapely.get_coordinates(shapely.line_interpolate_point(line, along)))
    gaps = np.hypot(*(points[0][:, None] - points[1][None]).transpose(2, 0, 1))
    return int(label(gaps < limit, structure=np.ones((3, 3)))[1])


@pytest.mark.parametrize("seed", range(60))
def test_stretches_are_those_of_a_dense_grid(seed: int) -> None:
    rng = random.Random(seed)
    a, b = ([(rng.uniform(0, 30), rng.uniform(0, 30)) for _ in range(rng.randint(2, 6))] for _ in range(2))
    fine = {brute(a, b, CONTACT + shift, 0.05) for shift in (-0.06, 0.0, 0.06)}
    if len(fine) == 1:  # else a gap between two parts is finer than the grid
        assert len(stretches(a, b)) == fine.pop()
    found = stretches(a, b)
    if found:
        nearest = shapely.LineString(a).distance(shapely.LineString(b))
        assert min(one.distance_mm for one in found) == pytest.approx(nearest, abs=1e-9)


coordinates = st.integers(0, 40).map(float)
paths = st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=6)


@settings(max_examples=100, deadline=None)
@given(paths, paths, st.floats(0, 360), st.booleans())
def test_turning_swapping_and_reversing_change_nothing(
    a: list[tuple[float, float]], b: list[tuple[float, float]], degrees: float, mirror: bool
) -> None:
    turn = math.radians(degrees)

    def moved(path: list[tuple[float, float]]) -> list[tuple[float, float]]:
        sign = -1 if mirror else 1
        return [
            (sign * x * math.cos(turn) - y * math.sin(turn) + 7, sign * x * math.sin(turn) + y * math.cos(turn) - 3)
            for x, y in path
        ]

    # Off the integer grid, so that no distance is at the limit itself, where rounding would decide.
    limit = 2.0123456

    def count(*some: list[tuple[float, float]]) -> list[float]:
        return sorted(round(one.distance_mm, 6) for one in Closeness(some, (), 5.0).stretches(limit))

    assert len(count(a, b)) == len(count(b, a)) == len(count(moved(a), moved(b))) == len(count(a[::-1], b))
    assert count(a, b) == pytest.approx(count(moved(b), moved(a)[::-1]), abs=2e-6)


def test_passages_count_each_separate_one() -> None:
    path = [(-10, 1), (10, 1), (10, 20), (0, 20), (0, 1.5), (-5, 20)]
    found = passages(segments_of([path]), [Disc(0, 0, 2)])
    assert [(one.path, one.disc) for one in found] == [(0, 0), (0, 0)]
    assert [one.distance_mm for one in found] == pytest.approx([1, 1.5])


@pytest.mark.parametrize(("y", "count"), [(1.9, 1), (2.0, 1), (2.0 + 5e-7, 1), (2.001, 0)])
def test_the_rim_of_a_terminal_counts(y: float, count: int) -> None:
    assert len(passages(segments_of([[(-10, y), (10, y)]]), [Disc(0, 0, 2)])) == count


@pytest.mark.parametrize("degrees", [0, 30, 45, 90, 123])
@pytest.mark.parametrize(("off", "inside"), [(13.0, 0.0), (12.999, 2 * math.sqrt(13**2 - 12.999**2)), (0.0, 26.0)])
def test_straight_past_a_round_body(degrees: float, off: float, inside: float) -> None:
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    path = [(50 + off * cos - t * sin, 60 + off * sin + t * cos) for t in (-40, 40)]
    length, _ = length_in_circle(path, Disc(50, 60, 13))
    assert length == pytest.approx(inside, abs=1e-5)


def test_along_the_rim_of_a_polygon_is_not_inside() -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert length_in_polygon([(-5, 0), (15, 0)], square)[0] == 0
    assert length_in_polygon([(0, 0), (10, 0), (10, 10)], square)[0] == 0
    assert length_in_polygon([(-5, 0.5), (15, 0.5)], square)[0] == pytest.approx(10)
    assert length_in_polygon([(0, 0), (10, 10)], square)[0] == pytest.approx(math.sqrt(200))


@pytest.mark.parametrize("seed", range(40))
def test_length_in_polygon_is_that_of_shapely(seed: int) -> None:
    rng = random.Random(seed)
    spokes = sorted(rng.uniform(0, 2 * math.pi) for _ in range(7))
    outline = [(r * math.cos(t), r * math.sin(t)) for t in spokes for r in [rng.uniform(4, 15)]]
    if not shapely.Polygon(outline).is_simple or not shapely.Polygon(outline).is_valid:
        pytest.fail("a star around its own middle is simple")
    path = [(rng.uniform(-20, 20), rng.uniform(-20, 20)) for _ in range(5)]
    length, _ = length_in_polygon(path, outline)
    pairs = itertools.pairwise(path)
    assert length == pytest.approx(
        sum(shapely.LineString(p).intersection(shapely.Polygon(outline)).length for p in pairs)
    )
