"""Sewing habits as numbers: thread to cut, length in the hand, minutes; and which connection a line sews.

All defaults are common practice, no published source, unless marked; a teacher can set each one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import networkx as nx

from projects.circuit.fabric import LaidOut
from projects.circuit.project import Thread

__all__ = [
    "Habits",
    "anchor_minutes",
    "cut_mm",
    "line_connections",
    "run_minutes",
    "stitch_minutes",
    "take_up",
    "thread_minutes",
    "working_mm",
]


@dataclass(frozen=True)
class Habits:
    """How a class sews; every default of the plan. Units are in the names.

    `anchor_mm`, `start_mm`, `end_mm`: thread for one anchor, the knot's tail and the tie-off (one strand).
    `first_run_minutes`: threading, knot, tie-off and trimming of the first `first_runs` threads, then
    `later_run_minutes`. `longest_share`: a single line is cut at a bend only past this share of the working length.
    `open_ohms`: what counts as open; `controller_ohms`: the least a controller without its cell shows between two
    of its terminals. `waste_share`: thread lost in class (10 to 15 %, hand-sewing handbooks).
    `meters` shared by `learners` at one time: waiting for one is counted; 0 meters: no readings are asked for.
    `first_light`: the cell goes in for a moment, after a look, as soon as a loop is closed; off, since looks are two.
    What sound parts differ by, for readings in volts: `cell_volts_spread` (share by which a new cell may be above
    its nominal volts; a new LR03 of 1.5 V shows 1.60 V, maker's data), `light_volts_spread` (volts, from memory),
    `anchor_most_ohms`
    (a sewn terminal has 0.5 to 5 ohm, from memory), `supply_amps_spread` (share, of what a controller draws).
    """

    anchor_mm: float = 30.0
    start_mm: float = 50.0
    end_mm: float = 150.0
    tail_mm: float = 3.0
    longest_share: float = 1.5
    first_runs: int = 2
    first_run_minutes: float = 6.0
    later_run_minutes: float = 3.0
    stitch_seconds: float = 10.0
    anchor_seconds: float = 45.0
    look_seconds: float = 30.0
    mark_part_minutes: float = 0.5
    hoop_minutes: float = 2.0
    try_part_minutes: float = 1.0
    cover_minutes: float = 3.0
    reading_minutes: float = 1.0
    test_part_minutes: float = 0.5
    tack_minutes: float = 1.0
    seal_minutes: float = 2.0
    close_minutes: float = 10.0
    count_minutes: float = 2.0
    care_minutes: float = 1.0
    open_ohms: float = 20_000.0
    lead_ohms: float = 0.5
    controller_ohms: float = 100.0
    waste_share: float = 0.12
    sure_share: float = 0.95
    meters: int = 1
    learners: int = 1
    first_light: bool = False
    cell_volts_spread: float = 0.1
    light_volts_spread: float = 0.2
    anchor_most_ohms: float = 5.0
    supply_amps_spread: float = 0.5


def take_up(fabric_mm: float, pitch_mm: float) -> float:
    """Sewn length over path, 1 + T/p, for fabric `fabric_mm` thick and `pitch_mm` between two pricks.

    Raises ValueError unless the pitch is above zero and the thickness is not below it.

    >>> take_up(1.0, 4.0)
    1.25
    """
    if pitch_mm <= 0 or fabric_mm < 0:
        raise ValueError("The pitch must be above 0 mm, and the fabric no thinner than 0 mm.")
    return 1.0 + fabric_mm / pitch_mm


def working_mm(path_mm: float, thread: Thread, habits: Habits) -> float:
    """Length in the hand, folded, for a path of `path_mm`: with take-up, start and end.

    >>> working_mm(100.0, Thread(), Habits())
    320.0
    """
    return path_mm * thread.take_up + habits.start_mm + habits.end_mm


def cut_mm(path_mm: float, anchors: int, thread: Thread, habits: Habits) -> float:
    """Thread to cut from the spool, before folding, for a path with `anchors` anchors.

    >>> cut_mm(100.0, 2, Thread(), Habits())
    760.0
    """
    return thread.strands * (working_mm(path_mm, thread, habits) + anchors * habits.anchor_mm)


def thread_minutes(number: int, habits: Habits) -> float:
    """Threading, knot, tie-off and trimming of thread `number` (1 for the first)."""
    return habits.first_run_minutes if number <= habits.first_runs else habits.later_run_minutes


def stitch_minutes(path_mm: float, stitch_mm: float, habits: Habits) -> float:
    """Running stitch along `path_mm`, one stitch every `stitch_mm`; parts of a stitch count as parts.

    A stitch below half a millimetre counts as that: no hand sews finer, and minutes stay finite.
    """
    return path_mm / max(stitch_mm, 0.5) * habits.stitch_seconds / 60


def anchor_minutes(anchors: int, habits: Habits) -> float:
    """So many times three tight stitches."""
    return anchors * habits.anchor_seconds / 60


def run_minutes(number: int, path_mm: float, anchors: int, stitch_mm: float, habits: Habits) -> float:
    """Minutes for thread `number`: its handling, stitches, anchors and one look at both sides.

    >>> run_minutes(1, 150.0, 2, 5.0, Habits())
    13.0
    """
    return (
        thread_minutes(number, habits)
        + stitch_minutes(path_mm, stitch_mm, habits)
        + anchor_minutes(anchors, habits)
        + habits.look_seconds / 60
    )


def line_connections(laid: LaidOut) -> Mapping[str, str]:
    """Connection that each line with both ends known is meant for, by line name; "" where it is for none.

    A line belongs to the connection of its first end that is a terminal in use; one between two joins to the first
    connection (in the project's order) that its threads lead to without passing a terminal.
    """
    own = {terminal: one.name for one in reversed(laid.project.connections) for terminal in one.terminals}
    order = {one.name: at for at, one in enumerate(laid.project.connections)}
    found: dict[str, str] = {}
    between_joins: nx.Graph[str] = nx.Graph()
    at_join: dict[str, list[str]] = {}
    for course in laid.courses:
        line_ends = (course.line.start, course.line.end)
        names = [own[end] for end in line_ends if end in own]
        found[course.name] = names[0] if names else ""
        joins = [end for end in line_ends if end.startswith("@")]
        between_joins.add_nodes_from(joins)
        if len(joins) == 2:
            between_joins.add_edge(*joins)
        for join in joins:
            at_join.setdefault(join, []).extend(names[:1])
    for group in nx.connected_components(between_joins):
        names = sorted((name for join in group for name in at_join[join]), key=lambda name: order[name])
        for course in laid.courses:
            if not found[course.name] and names and group & {course.line.start, course.line.end}:
                found[course.name] = names[0]
    return found
