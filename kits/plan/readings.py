"""What a meter should show after each stage, with the cell out."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from kits.plan.meter import meter_range
from kits.plan.network import Measured, SewnSoFar
from kits.plan.runs import ThreadRun
from kits.plan.values import Reading
from kits.plan.words import place_words
from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.part_types import Cell, Role
from projects.circuit.text import Message, msg

__all__ = ["CELL_OUT", "readings_of_runs", "readings_of_whole"]

CELL_OUT = "cell out"

SIDES: tuple[Role, Role] = ("positive", "negative")


def readings_of_runs(sewn: SewnSoFar, runs: Sequence[ThreadRun], stage: str) -> list[Reading]:
    """One reading along each run, then one for each connection to the nearest thing that it must not touch."""
    found = [_along(sewn, run, stage) for run in runs]
    for connection in dict.fromkeys(run.connection for run in runs):
        own = [run for run in runs if run.connection == connection]
        found.append(_apart(sewn, own, stage))
    return [reading for reading in found if reading is not None]


def readings_of_whole(sewn: SewnSoFar, stage: str, key: str = "read:whole") -> list[Reading]:
    """From the cell's positive to its negative terminal before the cell goes in: it must not be shorted."""
    found = []
    for ref, part_type in sewn.fabric.laid.types.items():
        sides = [part_type.with_role(role) for role in SIDES]
        if isinstance(part_type.model, Cell) and all(sides):
            positive, negative = (f"{ref}.{side[0]}" for side in sides)
            if positive in sewn.fabric.laid.spots:
                found.append(_reading(sewn, f"{key}:{ref}", positive, negative, stage))
    return [reading for reading in found if reading is not None]


def _along(sewn: SewnSoFar, run: ThreadRun, stage: str) -> Reading | None:
    nodes = [node for node in run.nodes if "~" not in node]
    if not nodes:
        return None
    start, end = nodes[0], nodes[-1]
    if start == end:
        end = nodes[len(nodes) // 2]
    key = f"read:along:{run.stretches[0].name}"
    return _reading(sewn, key, start, end, stage) if start != end else None


def _apart(sewn: SewnSoFar, runs: Sequence[ThreadRun], stage: str) -> Reading | None:
    """The reading to the nearest other terminal that should read open, or that only a controller joins to this one."""
    probes = [node for run in runs for node in run.nodes if "~" not in node]
    for other, spot in _nearest(sewn, runs) if probes else ():
        start = min(probes, key=lambda node: _distance(sewn.fabric.laid, node, spot))
        if sewn.apart(start, other):
            return _reading(sewn, f"read:apart:{runs[0].connection}:{other}", start, other, stage)
    return None


def _distance(laid: LaidOut, node: str, spot: Spot) -> float:
    here = laid.joins[node[1:]] if node.startswith("@") else laid.spots[node]
    far = 0.0 if here.piece == spot.piece else 1e6
    return far + shapely.Point(here.x, here.y).distance(shapely.Point(spot.x, spot.y))


def _nearest(sewn: SewnSoFar, runs: Sequence[ThreadRun]) -> list[tuple[str, Spot]]:
    """Terminals of no line of these runs and not of their connection, nearest to the thread first.

    A terminal at the end of another line that is already sewn is as near as that line is.
    """
    laid = sewn.fabric.laid
    own_lines = {stretch.line for run in runs for stretch in run.stretches}
    courses = [(course, shapely.LineString(course.points)) for course in laid.courses if course.name in sewn.lines]
    paths: dict[str, list[shapely.LineString]] = {}
    for course, path in courses:
        if course.name in own_lines:
            paths.setdefault(course.piece, []).append(path)
    thread = {piece: shapely.union_all(found) for piece, found in paths.items()}
    own = _own_terminals(laid, runs)
    near: dict[str, float] = {}
    for terminal, spot in laid.spots.items():
        if terminal not in own and spot.piece in thread:
            gap = thread[spot.piece].distance(shapely.Point(spot.x, spot.y)) - laid.radius(terminal)
            near[terminal] = max(0.0, gap)
    for course, path in courses:
        ends = [end for end in (course.line.start, course.line.end) if end in near]
        if course.name not in own_lines and course.piece in thread and ends:
            gap = float(thread[course.piece].distance(path))
            near.update({end: min(near[end], gap) for end in ends})
    return [(terminal, laid.spots[terminal]) for terminal in sorted(near, key=lambda one: (near[one], one))]


def _own_terminals(laid: LaidOut, runs: Sequence[ThreadRun]) -> set[str]:
    """Terminals that the runs sew or that belong to their connections, and all joined to one of them in a part."""
    names = {run.connection for run in runs}
    own = {node for run in runs for node in run.nodes}
    own.update(terminal for one in laid.project.connections if one.name in names for terminal in one.terminals)
    return own.union(*(group for group in laid.groups() if own & set(group)))


def _reading(sewn: SewnSoFar, key: str, start: str, end: str, stage: str) -> Reading | None:
    measured = sewn.measured(start, end)
    if measured is None:
        return None
    low, high, leads = measured.low, measured.high, sewn.fabric.habits.lead_ohms
    return Reading(
        start=start,
        end=end,
        kind="ohms",
        state=CELL_OUT,
        expected=measured.expected,
        min=sewn.fabric.habits.open_ohms if low is None else low,
        max=None if high is None else high + leads,
        stage=stage,
        text=_words(sewn, start, end, measured),
        key=key,
        most=None if measured.most is None else measured.most + leads,
    )


def _words(sewn: SewnSoFar, start: str, end: str, measured: Measured) -> Message:
    places = {"start": place_words(sewn.fabric.laid, start), "end": place_words(sewn.fabric.laid, end)}
    if measured.low is None:
        return msg(
            "Set the meter to 200 k ohm. Touch {start} and {end}. They must not touch: it should show OL or 1.",
            **places,
        )
    if measured.high is None:
        return msg(
            "Set the meter to 2 k ohm. Touch {start} and {end}. It should show more than {low} ohm. "
            "OL or 1 is fine too.",
            low=math.floor(measured.low),
            **places,
        )
    high = measured.high + sewn.fabric.habits.lead_ohms
    return msg(
        "Set the meter to {range} ohm. Touch the tips: note what it shows, and take that off. "
        "Touch {start} and {end}. It should show {low} to {high} ohm.",
        range=meter_range("ohms", high)[1],
        low=_figure(measured.low),
        high=_figure(high),
        **places,
    )


def _figure(ohms: float) -> str:
    """Ohms as a meter for children shows them: one decimal below 100."""
    return f"{ohms:.1f}" if ohms < 100 else f"{ohms:.0f}"
