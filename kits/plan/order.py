"""In which order connections are sewn: the cell's two sides first, then outward from the controller."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import networkx as nx

from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Link, Role, Switch

__all__ = ["Order", "sewing_order"]


@dataclass(frozen=True)
class Order:
    """Names of connections: those of the cell's positive side, its negative side, and the further ones in order."""

    positive: tuple[str, ...]
    negative: tuple[str, ...]
    further: tuple[str, ...]

    @property
    def all(self) -> tuple[str, ...]:
        return (*self.positive, *self.negative, *self.further)


def sewing_order(laid: LaidOut) -> Order:
    """The order of all connections of the project, each once.

    A side is the cell's own connection, and what lies between it and the controller's supply terminal with nothing
    but switches and seam crossings on the way. Further connections follow breadth-first from the controller, or from
    the cell where there is none; those that nothing leads to come last, in the project's order.
    """
    positive = _side(laid, "positive")
    negative = tuple(name for name in _side(laid, "negative") if name not in positive)
    hub = _first_ref(laid, Controller) or _first_ref(laid, Cell)
    sides = {*positive, *negative}
    further = [name for name in _outward(laid, hub) if name not in sides]
    return Order(positive, negative, tuple(further))


def _first_ref(laid: LaidOut, kind: type[Cell] | type[Controller]) -> str | None:
    return next((part.ref for part in laid.project.parts if isinstance(laid.types[part.ref].model, kind)), None)


def _supplied(laid: LaidOut, kind: type[Cell] | type[Controller], role: Role) -> list[str]:
    """Connections at terminals of that role of every part of that kind, in the project's order."""
    terminals = {
        f"{ref}.{name}"
        for ref, part_type in laid.types.items()
        if isinstance(part_type.model, kind)
        for name in part_type.with_role(role)
    }
    return [one.name for one in laid.project.connections if terminals & set(one.terminals)]


def _side(laid: LaidOut, role: Role) -> tuple[str, ...]:
    start = _supplied(laid, Cell, role)
    goals = _supplied(laid, Controller, role)
    through: nx.Graph[str] = nx.Graph()
    through.add_nodes_from([*start, *goals])
    for group in _connections_of_parts(laid, lambda ref: isinstance(laid.types[ref].model, Switch | Link)):
        nx.add_path(through, group)
    side = list(start)
    for first in start:
        for goal in goals:
            if nx.has_path(through, first, goal):
                side.extend(name for name in nx.shortest_path(through, first, goal) if name not in side)
    return tuple(side)


def _connections_of_parts(laid: LaidOut, wanted: Callable[[str], bool]) -> list[list[str]]:
    """For each wanted part its connections, in the project's order."""
    found: dict[str, list[str]] = {part.ref: [] for part in laid.project.parts if wanted(part.ref)}
    for one in laid.project.connections:
        for ref in dict.fromkeys(terminal.partition(".")[0] for terminal in one.terminals):
            if ref in found:
                found[ref].append(one.name)
    return list(found.values())


def _outward(laid: LaidOut, hub: str | None) -> list[str]:
    """Connections breadth-first from the part `hub`, then those that it does not lead to."""
    graph: nx.Graph[tuple[str, str]] = nx.Graph()
    for one in laid.project.connections:
        for terminal in one.terminals:
            graph.add_edge(("part", terminal.partition(".")[0]), ("connection", one.name))
    reached: list[str] = []
    if hub is not None and ("part", hub) in graph:
        reached = [name for kind, name in nx.bfs_tree(graph, ("part", hub)) if kind == "connection"]
    return list(dict.fromkeys([*reached, *(one.name for one in laid.project.connections)]))
