"""Switch positions: the states of a layout, and the exact search for one that shorts the cell."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import networkx as nx

from checks.direction import Bridge, State, closed_contacts, flow, ohms_between, part_nodes, thread_bridges
from checks.sewn import Contact, SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Load, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel

__all__ = [
    "DEAD_SHORT_OHMS",
    "MOST_STATES",
    "DeadShort",
    "SearchTooLongError",
    "cell_of",
    "find_dead_short",
    "states_of",
]

MOST_STATES = 64
DEAD_SHORT_OHMS = 5.0
_MOST_TRIALS = 3_000

Contacts = list[tuple[str, str]]
"""Pairs of terminals that closed switches join."""

Options = list[tuple[str, Contacts]]
"""Positions of one switch, each with the contacts it closes."""


class SearchTooLongError(Exception):
    """So many switches depend on each other that the search was given up; the layout must not pass."""


def cell_of(laid_out: LaidOut) -> str | None:
    """The ref of the placed cell, if there is one."""
    for part in laid_out.project.parts:
        if isinstance(laid_out.types[part.ref].model, Cell) and part_nodes(laid_out, part.ref)[0] in laid_out.spots:
            return part.ref
    return None


def states_of(laid_out: LaidOut) -> list[State]:
    """Switch positions × outputs all low and all high × sensor levels.

    Past 64, the base (each switch in the position that joins most, outputs high, sensors at their first level), the
    same with outputs low, and each single change from these two.
    """
    positions, levels = _choices(laid_out)
    outputs = (False, True) if any(use in ("output", "fade") for use in laid_out.project.pins.values()) else (False,)
    names = {**positions, **levels}
    if math.prod(len(some) for some in names.values()) * len(outputs) <= MOST_STATES:
        every = [dict(zip(names, chosen, strict=True)) for chosen in itertools.product(*names.values())]
    else:
        base = {ref: some[0] for ref, some in names.items()}
        every = [base, *({**base, ref: name} for ref, some in names.items() for name in some[1:])]
    return [
        State({ref: chosen[ref] for ref in positions}, {ref: chosen[ref] for ref in levels}, high)
        for chosen in every
        for high in outputs
    ]


def _choices(laid_out: LaidOut) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """Positions of each switch, those that join most first, and levels of each sensor."""
    positions: dict[str, list[str]] = {}
    levels: dict[str, list[str]] = {}
    for part in laid_out.project.parts:
        model = laid_out.types[part.ref].model
        if isinstance(model, Switch):
            ordered = sorted(model.positions, key=lambda one: -len(one.joins))
            positions[part.ref] = [one.name for one in ordered]
        elif isinstance(model, Sensor):
            levels[part.ref] = [one.name for one in model.levels]
    return positions, levels


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
    """A position of all switches in which the cell is shorted, or None if there is none: exact, never sampled.

    Shorted is: joined by thread, closed switches and links alone; or through less than 5 ohms in all, resistors,
    loads and sensors included. Closing more contacts never raises the ohms between two places (Rayleigh), so
    a choice of positions is given up only when even closing every contact of every open choice does not do it.
    """
    cell = cell_of(sewn.laid_out)
    if cell is None:
        return None
    nodes = part_nodes(sewn.laid_out, cell)
    positions = _search(sewn.laid_out, lambda closed: _joined(sewn, closed, nodes))
    resistive = list(_resistive(sewn.laid_out)) if positions is None else []
    # Were all thread without ohms, the parts side by side would be the least that there can be.
    if sum(1 / one.ohms for one in resistive) > 1 / DEAD_SHORT_OHMS:
        bridges = [*thread_bridges(sewn), *resistive]
        positions = _search(sewn.laid_out, lambda closed: _ohms(sewn, bridges, closed, nodes) < DEAD_SHORT_OHMS)
    return None if positions is None else _measured(sewn, cell, positions, resistive)


def _search(laid_out: LaidOut, shorted: Callable[[Contacts], bool]) -> dict[str, str] | None:
    """Positions in which `shorted` holds of the closed contacts; it must be monotone in them."""
    trials = itertools.count()

    def holds(choices: Mapping[str, Options]) -> bool:
        if next(trials) > _MOST_TRIALS:
            raise SearchTooLongError
        return shorted([pair for options in choices.values() for _, pairs in options for pair in pairs])

    def descend(choices: dict[str, Options]) -> dict[str, str] | None:
        if not holds(choices):
            return None
        undecided = [ref for ref, options in choices.items() if len(options) > 1]
        if not undecided:
            return {ref: options[0][0] for ref, options in choices.items()}
        # A switch without which there is no short splits the search best.
        ref = next((ref for ref in undecided if not holds({**choices, ref: []})), undecided[0])
        found = (descend({**choices, ref: [option]}) for option in choices[ref])
        return next((one for one in found if one is not None), None)

    start = {
        ref: _undominated([(name, list(closed_contacts(laid_out.types[ref], ref, name))) for name in names])
        for ref, names in _choices(laid_out)[0].items()
    }
    return descend(start)


def _undominated(options: Options) -> Options:
    """Positions, without those that join no more than another one does."""
    kept: Options = []
    joins: list[set[frozenset[str]]] = []
    for name, pairs in options:
        own = {frozenset(pair) for pair in pairs}
        if not any(own <= other for other in joins):
            kept.append((name, pairs))
            joins.append(own)
    return kept


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
    found = flow(sewn, State(positions, _fewest_ohms(laid_out)), thread)
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
