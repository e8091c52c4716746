"""What the circuit itself joins, before any thread: nets, what has nothing to do, what an input can feel."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import networkx as nx
from networkx.utils import UnionFind

from checks.direction import closed_contacts, part_nodes
from checks.pins import driven_pins
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Link, Pad, Resistor, Sensor, Switch

__all__ = ["Diagram"]


@dataclass(frozen=True, eq=False)
class Diagram:
    """The circuit as drawn. A terminal in two connections counts for the first of them."""

    laid_out: LaidOut

    @cached_property
    def uses(self) -> Mapping[str, tuple[str, ...]]:
        """The connections that each terminal is in."""
        found: dict[str, list[str]] = {}
        for connection in self.laid_out.project.connections:
            for terminal in connection.terminals:
                found.setdefault(terminal, []).append(connection.name)
        return {terminal: tuple(names) for terminal, names in found.items()}

    @cached_property
    def net_of(self) -> UnionFind[str]:
        """Terminals by what connections, `joined` terminals and links make one."""
        nets: UnionFind[str] = UnionFind()
        for terminal, connections in self.uses.items():
            nets.union(f"net {connections[0]}", terminal)
        for group in self.laid_out.groups():
            nets.union(*group)
        return nets

    def joins(self, one: str, other: str, closed: Iterable[tuple[str, str]] = ()) -> bool:
        """Whether the circuit joins two terminals, with these pairs of switch contacts closed."""
        nets = self.net_of
        joined: UnionFind[str] = UnionFind()
        for a, b in closed:
            joined.union(nets[a], nets[b])
        return joined[nets[one]] == joined[nets[other]]

    @cached_property
    def cell(self) -> tuple[str, str] | None:
        """The two sides of the cell, placed or not."""
        for part in self.laid_out.project.parts:
            if isinstance(self.laid_out.types[part.ref].model, Cell):
                return part_nodes(self.laid_out, part.ref)
        return None

    def shorting_switch(self) -> tuple[str, str] | None:
        """A switch, and its position, that joins the cell's two sides by itself."""
        for part in self.laid_out.project.parts:
            part_type = self.laid_out.types[part.ref]
            if self.cell is not None and isinstance(part_type.model, Switch):
                for position in part_type.model.positions:
                    if self.joins(*self.cell, tuple(closed_contacts(part_type, part.ref, position.name))):
                        return part.ref, position.name
        return None

    def leads_on(self, terminal: str) -> bool:
        """Whether a connection leads from a terminal to something other than its own side of its part."""
        ref, _, name = terminal.partition(".")
        side = next(side for side in self.laid_out.types[ref].groups() if name in side)
        return self._leads_on(terminal, ref, side)

    def bridged(self, ref: str) -> bool:
        """Whether the circuit makes the two sides of a part one (of a cell that is said by itself)."""
        part_type = self.laid_out.types[ref]
        if isinstance(part_type.model, Cell | Link | Pad) or (self.cell is not None and self.joins(*self.cell)):
            return False
        return self.joins(*part_nodes(self.laid_out, ref))

    @cached_property
    def idle(self) -> frozenset[str]:
        """Refs of the parts that have nothing to do."""
        return frozenset(part.ref for part in self.laid_out.project.parts if self._is_idle(part.ref))

    def _is_idle(self, ref: str) -> bool:
        needed = 1 if isinstance(self.laid_out.types[ref].model, Pad) else 2
        return self.sides_used(ref) < needed or not self.supply_used(ref) or self.bridged(ref)

    def sides_used(self, ref: str) -> int:
        """How many sides of a part a connection leads from to something else: of a link, terminals."""
        part_type = self.laid_out.types[ref]
        link = isinstance(part_type.model, Link)
        sides = [(terminal.name,) for terminal in part_type.terminals] if link else part_type.groups()
        return sum(any(self._leads_on(f"{ref}.{name}", ref, side) for name in side) for side in sides)

    def _leads_on(self, terminal: str, ref: str, side: tuple[str, ...]) -> bool:
        own = {f"{ref}.{name}" for name in side}
        named = self.uses.get(terminal, ())
        connections = (one for one in self.laid_out.project.connections if one.name in named)
        return any(not own.issuperset(connection.terminals) for connection in connections)

    def feels(self, pin: str) -> bool:
        """Whether a switch, a sensor or a driven pin can change what an input reads, resistors between or not."""
        near = nx.node_connected_component(self._through_resistors, self.net_of[pin])
        driven = (other for other in driven_pins(self.laid_out) if other != pin)
        changing = (
            node
            for part in self.laid_out.project.parts
            if isinstance(self.laid_out.types[part.ref].model, Switch | Sensor)
            for node in part_nodes(self.laid_out, part.ref)
        )
        return any(self.net_of[node] in near for node in (*changing, *driven))

    @cached_property
    def _through_resistors(self) -> nx.Graph[str]:
        """Nets, and resistors between them; not on to the supply, for nothing there is for a pin to feel."""
        graph: nx.Graph[str] = nx.Graph()
        graph.add_nodes_from(self.net_of[terminal] for terminal in self.laid_out.terminals())
        boards = [part.ref for part in self.laid_out.project.parts if self._is_board(part.ref)]
        supply = [node for ref in boards for node in part_nodes(self.laid_out, ref)]
        rails = {self.net_of[node] for node in (*(self.cell or ()), *supply)}
        for part in self.laid_out.project.parts:
            if isinstance(self.laid_out.types[part.ref].model, Resistor):
                ends = [self.net_of[node] for node in part_nodes(self.laid_out, part.ref)]
                if not rails.intersection(ends):
                    graph.add_edge(*ends)
        return graph

    def _is_board(self, ref: str) -> bool:
        return isinstance(self.laid_out.types[ref].model, Controller)

    def supply_used(self, ref: str) -> bool:
        """Whether both supply sides of a controller lead on."""
        part_type = self.laid_out.types[ref]
        if not self._is_board(ref):
            return True
        groups = part_type.groups()
        supply = [
            side for side in groups if {*side} & {*part_type.with_role("positive"), *part_type.with_role("negative")}
        ]
        return all(any(self._leads_on(f"{ref}.{name}", ref, side) for name in side) for side in supply)
