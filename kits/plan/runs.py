"""Runs: the lines of each connection cut into as few threads as can be, none longer than the hand can hold."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import networkx as nx

from kits.plan.order import Order
from projects.circuit.fabric import Course, LaidOut, Points
from projects.circuit.part_types import Cell, Controller, Link, Switch
from projects.circuit.sewing import Habits, line_connections, working_mm
from projects.circuit.text import Message, msg
from projects.circuit.trails import Trail, trails

__all__ = ["Stretch", "ThreadRun", "cut_into_runs"]


@dataclass(frozen=True)
class Stretch:
    """What is sewn of one line in one go, in the direction of sewing.

    `start` and `end` are terminals, joins `@j1`, or bends `s4~2` (the second bend of line s4, as it is sewn).
    """

    line: str
    start: str
    end: str
    points: Points

    @property
    def name(self) -> str:
        """The line's name; that of its first bend where this stretch starts at one. Each stretch has its own."""
        return self.start if "~" in self.start else self.line

    @property
    def path_mm(self) -> float:
        return math.fsum(math.dist(a, b) for a, b in pairwise(self.points))


@dataclass(frozen=True)
class ThreadRun:
    """One thread: its stretches in order of sewing, each starting where the one before ended."""

    connection: str
    stretches: tuple[Stretch, ...]
    split: Message | None = None

    @property
    def path_mm(self) -> float:
        return math.fsum(stretch.path_mm for stretch in self.stretches)

    @property
    def nodes(self) -> tuple[str, ...]:
        return (self.stretches[0].start, *(stretch.end for stretch in self.stretches))

    @property
    def anchors(self) -> int:
        """How many times a terminal is sewn."""
        return sum("." in node for node in self.nodes)


def cut_into_runs(laid: LaidOut, order: Order, habits: Habits, kept: Collection[str] = ()) -> list[ThreadRun]:
    """Every line with both ends known, once, as runs in order of sewing; those `kept` are sewn already.

    Lines that are for no connection come last, under the connection "".
    """
    meant_for = line_connections(laid)
    runs: list[ThreadRun] = []
    for connection in (*order.all, ""):
        left = (course for course in laid.courses if course.name not in kept)
        courses = {course.name: course for course in left if meant_for[course.name] == connection}
        graph: nx.MultiGraph[str] = nx.MultiGraph()
        for course in courses.values():
            graph.add_edge(course.line.start, course.line.end, key=course.name)
        for trail in trails(graph, _starts_first(laid, connection, order)):
            runs.extend(_runs_of(connection, list(_stretches(trail, courses)), laid, habits))
    return runs


def _starts_first(laid: LaidOut, connection: str, order: Order) -> list[str]:
    """Terminals of a connection in the order in which a thread had best start there.

    On a side of the cell: the cell, else the switch or seam crossing that leads to it, else a seam crossing within the
    connection, for then the cell lies on another piece. Elsewhere the controller comes first.
    """
    terminals = {one.name: one.terminals for one in laid.project.connections}
    side = next((names for names in (order.positive, order.negative) if connection in names), ())
    before = side or order.all
    nearer = before[: before.index(connection)] if connection else ()
    leads_back = {terminal.partition(".")[0] for name in nearer for terminal in terminals[name]}

    def rank(terminal: str) -> int:
        ref = terminal.partition(".")[0]
        model = laid.types[ref].model
        if isinstance(model, Cell):
            return 0
        if isinstance(model, Controller):
            return 4 if side else 1
        if isinstance(model, Switch | Link) and ref in leads_back:
            return 2
        return 3 if isinstance(model, Link) else 5

    return sorted(terminals.get(connection, ()), key=rank)


def _stretches(trail: Trail, courses: dict[str, Course]) -> Iterator[Stretch]:
    for line, (start, end) in zip(trail.edges, pairwise(trail.nodes), strict=True):
        course = courses[line]
        forward = course.line.start == start
        yield Stretch(line, start, end, course.points if forward else course.points[::-1])


def _runs_of(connection: str, stretches: list[Stretch], laid: LaidOut, habits: Habits) -> list[ThreadRun]:
    """One run, or several where one thread would be too long."""
    thread, limit = laid.project.thread, laid.project.settings.working_mm

    def length(parts: Iterable[Stretch]) -> float:
        return working_mm(math.fsum(part.path_mm for part in parts), thread, habits)

    whole = length(stretches)
    if whole <= limit:
        return [ThreadRun(connection, tuple(stretches))]
    atoms: list[list[Stretch]] = []
    for hop in _hops(stretches):
        too_long = length(hop) > limit * habits.longest_share
        atoms.extend([piece] for piece in _at_bends(hop)) if too_long else atoms.append(hop)
    packed: list[list[Stretch]] = []
    for atom in atoms:
        if packed and length([*packed[-1], *atom]) <= limit:
            packed[-1].extend(atom)
        else:
            packed.append(list(atom))
    if len(packed) == 1:
        return [ThreadRun(connection, tuple(_merged(packed[0])))]
    why = msg(
        "One thread would be {whole} cm long when folded. A hand can hold {limit} cm. So there are {count} threads.",
        whole=math.ceil(whole / 10),
        limit=round(limit / 10),
        count=len(packed),
    )
    return [ThreadRun(connection, tuple(_merged(parts)), why) for parts in packed]


def _hops(stretches: Sequence[Stretch]) -> Iterator[list[Stretch]]:
    """Stretches from one terminal to the next, over joins."""
    hop: list[Stretch] = []
    for stretch in stretches:
        hop.append(stretch)
        if "." in stretch.end:
            yield hop
            hop = []
    if hop:
        yield hop


def _at_bends(hop: Sequence[Stretch]) -> Iterator[Stretch]:
    """The same stretches, cut at every bend."""
    for stretch in hop:
        last = len(stretch.points) - 2
        names = [stretch.start, *(f"{stretch.line}~{bend}" for bend in range(1, last + 1)), stretch.end]
        for (a, b), (start, end) in zip(pairwise(stretch.points), pairwise(names), strict=True):
            yield Stretch(stretch.line, start, end, (a, b))


def _merged(parts: Sequence[Stretch]) -> list[Stretch]:
    """Neighbouring stretches of one line that were cut at a bend, as one again."""
    merged: list[Stretch] = []
    for part in parts:
        if merged and merged[-1].line == part.line and "~" in part.start:
            merged[-1] = replace(merged[-1], end=part.end, points=(*merged[-1].points, part.points[-1]))
        else:
            merged.append(part)
    return merged
