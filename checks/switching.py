"""Switch positions: the states of a layout, and the exact search for one that shorts the cell."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx

from checks.direction import State, direction_netlist, part_nodes, switch_resistors, thread_ohms
from checks.netlist import Netlist, Resistor
from checks.operating_point import solve
from checks.resistance import two_terminal_ohms
from checks.sewn import Contact, SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Load, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel

__all__ = ["DEAD_SHORT_OHMS", "MOST_STATES", "DeadShort", "SearchTooLong", "cell_of", "find_dead_short", "states_of"]

MOST_STATES = 64
DEAD_SHORT_OHMS = 5.0
_MOST_TRIALS = 3_000

Options = list[tuple[str, list[Resistor]]]
"""Positions of one switch, each with the contacts it closes."""


class SearchTooLong(Exception):
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
    plus, minus = part_nodes(sewn.laid_out, cell)
    thread = list(thread_ohms(sewn))
    found = _search(sewn.laid_out, lambda closed: _joined([*thread, *closed], plus, minus))
    resistive = list(_resistive(sewn.laid_out))
    if found is None and sum(1 / one.ohms for one in resistive) > 1 / DEAD_SHORT_OHMS:
        every = [*thread, *resistive]
        found = _search(sewn.laid_out, lambda closed: _ohms([*every, *closed], plus, minus) < DEAD_SHORT_OHMS)
        thread = every
    if found is None:
        return None
    closed = [one for ref, name in found.items() for one in switch_resistors(sewn.laid_out.types[ref], ref, name)]
    return _measured(sewn, cell, found, [*thread, *closed])


def _search(laid_out: LaidOut, shorted: Callable[[Sequence[Resistor]], bool]) -> dict[str, str] | None:
    """Positions in which `shorted` holds of the closed contacts; it must be monotone in them."""
    open_choices: dict[str, Options] = {}
    for ref, names in _choices(laid_out)[0].items():
        contacts = [(name, list(switch_resistors(laid_out.types[ref], ref, name))) for name in names]
        open_choices[ref] = _undominated(contacts)
    trials = itertools.count()

    def holds(choices: dict[str, Options]) -> bool:
        if next(trials) > _MOST_TRIALS:
            raise SearchTooLong
        return shorted(_closed(choices))

    def descend(choices: dict[str, Options]) -> dict[str, str] | None:
        if not holds(choices):
            return None
        undecided = next(_by_need(choices, holds), None)
        if undecided is None:
            return {ref: some[0][0] for ref, some in choices.items()}
        for one in choices[undecided]:
            found = descend({**choices, undecided: [one]})
            if found is not None:
                return found
        return None

    return descend(open_choices)


def _closed(choices: Mapping[str, Options]) -> list[Resistor]:
    return [
        Resistor(f"{one.name} {name}", one.a, one.b, 0.0)
        for some in choices.values()
        for name, contacts in some
        for one in contacts
    ]


def _by_need(choices: dict[str, Options], holds: Callable[[dict[str, Options]], bool]) -> Iterator[str]:
    """Switches without which there is no short come first: they split the search best. Then all others."""
    rest: list[str] = []
    for ref, some in choices.items():
        if len(some) > 1:
            if holds({**choices, ref: []}):
                rest.append(ref)
            else:
                yield ref
    yield from rest


def _undominated(contacts: Options) -> Options:
    """Positions, without those that join no more than another one does."""
    kept: Options = []
    pairs: list[set[frozenset[str]]] = []
    for name, some in contacts:
        joins = {frozenset((one.a, one.b)) for one in some}
        if not any(joins <= other for other in pairs):
            kept.append((name, some))
            pairs.append(joins)
    return kept


def _joined(resistors: Sequence[Resistor], plus: str, minus: str) -> bool:
    graph = _graph(resistors)
    return plus in graph and minus in graph and nx.has_path(graph, plus, minus)


def _graph(resistors: Sequence[Resistor]) -> nx.Graph[str]:
    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from((one.a, one.b) for one in resistors)
    return graph


def _ohms(resistors: Sequence[Resistor], plus: str, minus: str) -> float:
    ohms = two_terminal_ohms(Netlist(tuple(resistors)), plus, minus)
    return math.inf if ohms is None else ohms


def _resistive(laid_out: LaidOut) -> Iterator[Resistor]:
    """Resistors, loads and sensors, each sensor at its fewest ohms."""
    for part in laid_out.project.parts:
        model = laid_out.types[part.ref].model
        if isinstance(model, ResistorModel | Load | Sensor):
            ohms = min(one.ohms for one in model.levels) if isinstance(model, Sensor) else model.ohms
            yield Resistor(part.ref, *part_nodes(laid_out, part.ref), ohms)


def _measured(sewn: SewnGraph, cell: str, positions: dict[str, str], joined: list[Resistor]) -> DeadShort:
    nodes = part_nodes(sewn.laid_out, cell)
    netlist = direction_netlist(sewn, State(positions))
    point = solve(netlist)
    watts = math.fsum(
        point.amps[one.name] ** 2 * one.ohms
        for one in netlist.elements
        if isinstance(one, Resistor) and one.name.startswith(("thread ", "contact "))
    )
    way = _way(sewn, joined, nodes)
    edges = [edge for a, b in itertools.pairwise(way) for edge in (sewn.graph.get_edge_data(a, b) or {}).values()]
    return DeadShort(
        cell,
        positions,
        _ohms(joined, *nodes),
        point.amps[cell],
        watts,
        tuple(edge["contact"] for edge in edges if edge["kind"] == "contact"),
        tuple(dict.fromkeys(edge["line"] for edge in edges if edge["kind"] == "thread")),
        tuple(node for node in way if node in sewn.laid_out.spots),
    )


def _way(sewn: SewnGraph, joined: list[Resistor], nodes: tuple[str, str]) -> list[str]:
    """The way between the cell's sides with the fewest contacts, then the fewest stretches."""
    graph = _graph(joined)
    for a, b, edge in sewn.graph.edges(data=True):
        graph.edges[a, b]["cost"] = 1.0 if edge["kind"] == "contact" else 1e-6
    way: list[str] = nx.shortest_path(graph, *nodes, weight=lambda a, b, edge: edge.get("cost", 1e-6))
    return way
