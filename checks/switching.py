"""Whether some positions of the switches short the cell."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import networkx as nx

from checks.direction import Bridge, closed_contacts, flow, ohms_between, part_nodes, thread_bridges
from checks.setting import Setting, closing_position
from checks.sewn import Contact, SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Load, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel

__all__ = [
    "DEAD_SHORT_OHMS",
    "DeadShort",
    "cell_of",
    "find_dead_short",
]

DEAD_SHORT_OHMS = 5.0

Contacts = list[tuple[str, str]]
"""Pairs of terminals that closed switches join."""


def cell_of(laid_out: LaidOut) -> str | None:
    """The ref of the placed cell, if there is one."""
    for part in laid_out.project.parts:
        if isinstance(laid_out.types[part.ref].model, Cell) and part_nodes(laid_out, part.ref)[0] in laid_out.spots:
            return part.ref
    return None


@dataclass(frozen=True)
class DeadShort:
    """The cell's two sides are joined in these switch positions.

    `ohms` between them outside the cell, `amps` from a fresh cell, `watts` in the thread; `contacts`, `lines` and
    `terminals` on the way from the one side to the other that has the fewest contacts.
    """

    cell: str
    positions: Mapping[str, str]
    ohms: float
    amps: float
    watts: float
    contacts: tuple[Contact, ...]
    lines: tuple[str, ...]
    terminals: tuple[str, ...]


def find_dead_short(sewn: SewnGraph) -> DeadShort | None:
    """The switch positions in which the cell is shorted, or None if there are none: exact, never sampled.

    Shorted is: joined by thread, closed switches and links alone; or through less than 5 ohms in all, resistors,
    loads and sensors included. A switch has two sides that a position joins or not, and to join them never raises
    the ohms between two places (Rayleigh): so if there is no short with all switches closed, there is none.
    """
    cell = cell_of(sewn.laid_out)
    if cell is None:
        return None
    nodes = part_nodes(sewn.laid_out, cell)
    positions = {
        ref: closing_position(part_type, part_type.model)
        for ref, part_type in sewn.laid_out.types.items()
        if isinstance(part_type.model, Switch)
    }
    closed = [pair for ref, name in positions.items() for pair in closed_contacts(sewn.laid_out.types[ref], ref, name)]
    if _joined(sewn, closed, nodes):
        return _measured(sewn, cell, positions, [])
    resistive = list(_resistive(sewn.laid_out))
    # Were all thread without ohms, the parts side by side would be the least that there can be.
    if sum(1 / one.ohms for one in resistive) <= 1 / DEAD_SHORT_OHMS:
        return None
    ohms = _ohms(sewn, [*thread_bridges(sewn), *resistive], closed, nodes)
    return _measured(sewn, cell, positions, resistive) if ohms < DEAD_SHORT_OHMS else None


def _joined(sewn: SewnGraph, closed: Contacts, nodes: tuple[str, str]) -> bool:
    component = sewn.component_of
    graph: nx.Graph[int] = nx.Graph(
        [(component[a], component[b]) for a, b in closed if a in component and b in component]
    )
    plus, minus = (component[node] for node in nodes)
    return plus == minus or (plus in graph and minus in graph and nx.has_path(graph, plus, minus))


def _ohms(sewn: SewnGraph, bridges: Sequence[Bridge], closed: Contacts, nodes: tuple[str, str]) -> float:
    """Ohms between the cell's sides, the cell left out."""
    joined = [(a, b) for a, b, edge in sewn.graph.edges(data=True) if edge["kind"] == "joined"]
    return ohms_between(bridges, [*joined, *closed], nodes)


def _resistive(laid_out: LaidOut) -> Iterator[Bridge]:
    """Resistors, loads and sensors, each sensor at its fewest ohms."""
    for part in laid_out.project.parts:
        model = laid_out.types[part.ref].model
        if isinstance(model, ResistorModel | Load | Sensor):
            ohms = min(one.ohms for one in model.levels) if isinstance(model, Sensor) else model.ohms
            yield Bridge(part.ref, *part_nodes(laid_out, part.ref), ohms)


def _measured(sewn: SewnGraph, cell: str, positions: dict[str, str], resistive: list[Bridge]) -> DeadShort:
    laid_out = sewn.laid_out
    nodes = part_nodes(laid_out, cell)
    closed = [pair for ref, name in positions.items() for pair in closed_contacts(laid_out.types[ref], ref, name)]
    thread = thread_bridges(sewn)
    found = flow(sewn, Setting({**positions, **_fewest_ohms(laid_out)}, "fresh"), thread)
    way = _way(sewn, closed, resistive, nodes)
    edges = [edge for a, b in itertools.pairwise(way) for edge in _least(sewn, a, b)]
    return DeadShort(
        cell,
        positions,
        _ohms(sewn, [*thread, *resistive], closed, nodes),
        found.amps[cell],
        found.thread_watts,
        tuple(edge["contact"] for edge in edges if edge["kind"] == "contact"),
        tuple(dict.fromkeys(edge["line"] for edge in edges if edge["kind"] == "thread")),
        tuple(node for node in way if node in laid_out.spots),
    )


def _least(sewn: SewnGraph, a: str, b: str) -> list[dict[str, Any]]:
    """Of all edges between two nodes of the sewn graph the one with the fewest ohms; none between parts."""
    edges = (sewn.graph.get_edge_data(a, b) or {}).values()
    return sorted(edges, key=lambda edge: ("joined", "thread", "contact").index(edge["kind"]))[:1]


def _fewest_ohms(laid_out: LaidOut) -> dict[str, str]:
    """Each sensor's level of fewest ohms."""
    models = ((part.ref, laid_out.types[part.ref].model) for part in laid_out.project.parts)
    return {ref: min(m.levels, key=lambda one: one.ohms).name for ref, m in models if isinstance(m, Sensor)}


def _way(sewn: SewnGraph, closed: Contacts, resistive: list[Bridge], nodes: tuple[str, str]) -> list[str]:
    """The way between the cell's sides with the fewest contacts, then the fewest stretches."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from([*closed, *((one.a, one.b) for one in resistive)], cost=1e-6)
    for a, b, edge in sewn.graph.edges(data=True):
        graph.add_edge(a, b, cost=1.0 if edge["kind"] == "contact" else 1e-6)
    way: list[str] = nx.shortest_path(graph, *nodes, weight="cost")
    return way
