"""Which way current runs through the parts of a sewn graph, in one setting of its switches, outputs and sensors.

Plain resistors alone, so each setting is one linear solve: 1 kilohm stands in for each light, and a controller draws
as a resistor does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from checks.pins import DRIVEN, uses_of
from checks.setting import Setting
from checks.sewn import SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Led, Load, PartType, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel

__all__ = ["Bridge", "Flow", "closed_contacts", "flow", "ohms_between", "part_nodes", "thread_bridges"]

Floats = NDArray[np.float64]

PULL_UP_OHMS = 35_000.0
TEST_LIGHT_OHMS = 1_000.0
LEAST_OHMS = 1e-3
"""What a closed contact or a thread of no length counts as here: less is no resistance at all."""
LEAK_SIEMENS = 1e-9


class Bridge(NamedTuple):
    """Ohms between two nodes of the sewn graph; `name` is the part or pin, empty for thread."""

    name: str
    a: str
    b: str
    ohms: float


class Flow(NamedTuple):
    """`amps` through each part (into its positive or first side; out of it for a cell), watts in all the thread."""

    amps: Mapping[str, float]
    thread_watts: float


def part_nodes(laid_out: LaidOut, ref: str) -> tuple[str, str]:
    """The two nodes of a part: its positive and its negative side, else its first two groups of terminals."""
    part_type = laid_out.types[ref]
    sides = (part_type.with_role("positive"), part_type.with_role("negative"))
    first, second = (side[0] for side in (sides if all(sides) else part_type.groups()[:2]))
    return f"{ref}.{first}", f"{ref}.{second}"


def thread_bridges(sewn: SewnGraph) -> list[Bridge]:
    """Every stretch of thread and contact of the sewn graph; a stretch has `contact_ohms` more at a terminal."""
    thread = sewn.laid_out.project.thread
    spots = sewn.laid_out.spots
    ohms_per_mm = thread.ohms_per_metre / 1000 * thread.take_up / thread.strands
    found: list[Bridge] = []
    for first, second, edge in sewn.graph.edges(data=True):
        if edge["kind"] == "thread":
            anchors = (first in spots) + (second in spots)
            found.append(Bridge("", first, second, edge["length_mm"] * ohms_per_mm + anchors * thread.contact_ohms))
        elif edge["kind"] == "contact":
            found.append(Bridge("", first, second, thread.crossing_ohms))
    return found


def closed_contacts(part_type: PartType, ref: str, position: str) -> Iterator[tuple[str, str]]:
    """The pairs of terminals that a switch joins in a position."""
    if isinstance(part_type.model, Switch):
        for first, second in next((one.joins for one in part_type.model.positions if one.name == position), ()):
            yield f"{ref}.{first}", f"{ref}.{second}"


def flow(sewn: SewnGraph, setting: Setting, thread: list[Bridge], swapped: frozenset[str] = frozenset()) -> Flow:
    """Solve one setting, the cell fresh. `thread` is `thread_bridges(sewn)`, made once for all settings.

    Parts in `swapped` are taken with their positive and negative side exchanged.
    """
    laid_out = sewn.laid_out
    bridges, cells = list(thread), []
    joined = [(a, b) for a, b, edge in sewn.graph.edges(data=True) if edge["kind"] == "joined"]
    for part in laid_out.project.parts:
        part_type = laid_out.types[part.ref]
        if isinstance(part_type.model, Switch):
            joined += closed_contacts(part_type, part.ref, setting.choices.get(part.ref, ""))
        elif len(part_type.groups()) > 1:
            nodes = part_nodes(laid_out, part.ref)
            nodes = nodes[::-1] if part.ref in swapped else nodes
            bridges += _part(laid_out, part.ref, nodes, setting)
            if isinstance(part_type.model, Cell):
                cells.append((part.ref, nodes, part_type.model))
    rows = _rows(bridges, joined)
    into = np.zeros(max(rows.values(), default=-1) + 1)
    for _, (plus, minus), cell in cells:
        into[rows[plus]] += cell.volts / cell.ohms
        into[rows[minus]] -= cell.volts / cell.ohms
    volts = _volts(rows, bridges, into)
    amps: dict[str, float] = {}
    watts = 0.0
    for bridge in bridges:
        across = volts[rows[bridge.a]] - volts[rows[bridge.b]]
        if bridge.name:
            amps[bridge.name] = across / max(bridge.ohms, LEAST_OHMS)
        else:
            watts += across * across / max(bridge.ohms, LEAST_OHMS)
    for ref, (plus, minus), cell in cells:
        amps[ref] = (cell.volts - (volts[rows[plus]] - volts[rows[minus]])) / cell.ohms
    return Flow(amps, watts)


def _rows(bridges: Sequence[Bridge], joined: Sequence[tuple[str, str]]) -> dict[str, int]:
    """Node → row of the matrix; joined nodes share one."""
    groups: nx.Graph[str] = nx.Graph(joined)
    rows: dict[str, int] = {}
    for row, group in enumerate(nx.connected_components(groups)):
        rows.update(dict.fromkeys(group, row))
    size = nx.number_connected_components(groups)
    for bridge in bridges:
        for node in (bridge.a, bridge.b):
            if node not in rows:
                rows[node] = size
                size += 1
    return rows


def _volts(rows: Mapping[str, int], bridges: Sequence[Bridge], into: Floats) -> list[float]:
    """Nodal analysis: volts by row from the amps `into` each, with a leak to ground at every node."""
    a = np.array([rows[bridge.a] for bridge in bridges], dtype=np.intp)
    b = np.array([rows[bridge.b] for bridge in bridges], dtype=np.intp)
    siemens = 1.0 / np.maximum(np.array([bridge.ohms for bridge in bridges]), LEAST_OHMS)
    every = np.arange(len(into))
    matrix = csc_array(
        (
            np.concatenate([siemens, siemens, -siemens, -siemens, np.full(len(into), LEAK_SIEMENS)]),
            (np.concatenate([a, b, a, b, every]), np.concatenate([a, b, b, a, every])),
        ),
        shape=(len(into), len(into)),
    )
    volts: list[float] = splu(matrix).solve(into).tolist() if len(into) else []
    return volts


def ohms_between(bridges: Sequence[Bridge], joined: Sequence[tuple[str, str]], nodes: tuple[str, str]) -> float:
    """Ohms between two nodes, `joined` pairs being one node; about 1e9 and more (the leak) where nothing joins them.

    >>> round(ohms_between([Bridge("", "a", "b", 3.0), Bridge("", "a", "c", 6.0)], [("b", "c")], ("a", "c")), 6)
    2.0
    """
    first, second = nodes
    rows = _rows([*bridges, Bridge("", first, second, 0.0)], joined)
    if rows[first] == rows[second]:
        return 0.0
    into = np.zeros(max(rows.values()) + 1)
    into[rows[first]], into[rows[second]] = 1.0, -1.0
    volts = _volts(rows, bridges, into)
    return volts[rows[first]] - volts[rows[second]]


def _part(laid_out: LaidOut, ref: str, nodes: tuple[str, str], setting: Setting) -> Iterator[Bridge]:
    model = laid_out.types[ref].model
    match model:
        case Cell():
            # Its own name is for its current, which is not that through its inner ohms.
            yield Bridge(f"{ref} inner", *nodes, model.ohms)
        case Led():
            yield Bridge(ref, *nodes, TEST_LIGHT_OHMS)
        case ResistorModel() | Load():
            yield Bridge(ref, *nodes, model.ohms)
        case Sensor():
            level = next((one for one in model.levels if one.name == setting.choices.get(ref)), model.levels[0])
            yield Bridge(ref, *nodes, level.ohms)
        case Controller():
            yield Bridge(ref, *nodes, model.min_volts / model.amps)
            yield from _pins(laid_out, ref, model, nodes, setting)


def _pins(laid_out: LaidOut, ref: str, model: Controller, nodes: tuple[str, str], setting: Setting) -> Iterator[Bridge]:
    for terminal, use in uses_of(laid_out).items():
        if terminal.partition(".")[0] == ref:
            if use in DRIVEN:
                yield Bridge(
                    terminal,
                    nodes[0] if setting.choices.get(terminal) == "high" else nodes[1],
                    terminal,
                    model.pin_ohms,
                )
            elif use == "input-pull-up":
                yield Bridge(terminal, nodes[0], terminal, PULL_UP_OHMS)
