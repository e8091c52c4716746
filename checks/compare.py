"""What is sewn against what the circuit wants joined: opens and shorts."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import networkx as nx
from networkx.utils import UnionFind

from checks.sewn import Contact, SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.project import Connection

__all__ = ["Comparison", "Intent", "Open", "Short", "compare", "intent_of"]


@dataclass(frozen=True)
class Open:
    """A connection whose placed terminals are not all joined: `islands`, each joined in itself, largest first."""

    connection: str
    islands: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Short:
    """Two connections that are joined though they must not be.

    `contacts`: the witness (the fewest contacts that join them) first, then all others between the two.
    `lines`: lines that run from the one to the other by themselves. `witness`: how many contacts the witness has.
    `between`: terminals that the circuit does not use and over which the witness leads.
    """

    connections: tuple[str, str]
    contacts: tuple[Contact, ...]
    lines: tuple[str, ...]
    witness: int
    between: tuple[str, ...]


class _Way(NamedTuple):
    """A way through the sewn graph: its contacts, and all its nodes."""

    contacts: list[Contact]
    nodes: list[str]


@dataclass(frozen=True)
class Comparison:
    """All that is not as the circuit wants it, in the order of `connections`."""

    opens: tuple[Open, ...]
    shorts: tuple[Short, ...]

    @property
    def agrees(self) -> bool:
        return not self.opens and not self.shorts


@dataclass(frozen=True, eq=False)
class Intent:
    """What the circuit and the drawn lines mean, before any look at what touches.

    `net_of`: terminal → the connection it belongs to; connections that the circuit itself joins (a terminal in both,
    `joined` terminals, a link) count as the first of them. `owners`: terminal, join or line → the connections at the
    drawn ends of it and of all lines that meet it at joins; none where the circuit uses no terminal of these.
    `drawn`: the lines, as edges (key `line`) between their ends.
    """

    net_of: Mapping[str, str]
    owners: Mapping[str, frozenset[str]]
    drawn: nx.MultiGraph[str]

    def owner(self, node: str) -> frozenset[str]:
        """The owners of a node of the sewn graph."""
        return self.owners.get(node.partition(":")[0], frozenset())


def intent_of(laid_out: LaidOut) -> Intent:
    """Work out to which connection each terminal, join and line is meant to belong."""
    net_of = _nets(laid_out)
    drawn: nx.MultiGraph[str] = nx.MultiGraph()
    joined: UnionFind[str] = UnionFind()
    for course in laid_out.courses:
        drawn.add_edge(course.line.start, course.line.end, line=course.name)
        for end in (course.line.start, course.line.end):
            if end.startswith("@"):
                joined.union(f"line {course.name}", end)
    owners: dict[str, set[str]] = {}
    for course in laid_out.courses:
        root = joined[f"line {course.name}"]
        ends = (net_of.get(end) for end in (course.line.start, course.line.end))
        owners.setdefault(root, set()).update(net for net in ends if net is not None)
    found = {terminal: frozenset((net,)) for terminal, net in net_of.items()}
    for course in laid_out.courses:
        own = frozenset(owners[joined[f"line {course.name}"]])
        found[course.name] = own
        found.update((end, own) for end in (course.line.start, course.line.end) if end.startswith("@"))
    return Intent(net_of, found, drawn)


def _nets(laid_out: LaidOut) -> dict[str, str]:
    """Terminal → the first of the connections that the circuit itself makes one with its own."""
    joined: UnionFind[str] = UnionFind()
    connections = laid_out.project.connections
    for connection in connections:
        joined.union(f"net {connection.name}", *connection.terminals)
    for group in laid_out.groups():
        joined.union(*group)
    first: dict[str, str] = {}
    for connection in connections:
        first.setdefault(joined[f"net {connection.name}"], connection.name)
    return {name: first[joined[name]] for name in laid_out.terminals() if joined[name] in first}


def compare(sewn: SewnGraph, intent: Intent) -> Comparison:
    """Opens and shorts of a sewn graph. Terminals without a place are left out."""
    opens = tuple(found for found in (_open(sewn, c.name, c.terminals) for c in _connections(sewn)) if found)
    return Comparison(opens, tuple(_shorts(sewn, intent)))


def _connections(sewn: SewnGraph) -> Iterable[Connection]:
    return sewn.laid_out.project.connections


def _open(sewn: SewnGraph, name: str, terminals: Iterable[str]) -> Open | None:
    islands: dict[int, list[str]] = {}
    for terminal in dict.fromkeys(terminals):
        if terminal in sewn.laid_out.spots:
            islands.setdefault(sewn.component_of[terminal], []).append(terminal)
    if len(islands) < 2:
        return None
    return Open(name, tuple(sorted((tuple(some) for some in islands.values()), key=len, reverse=True)))


def _shorts(sewn: SewnGraph, intent: Intent) -> Iterable[Short]:
    """One short a pair of connections that touch: with no terminal or thread of a third one between."""
    order = [connection.name for connection in _connections(sewn)]
    nets: dict[int, set[str]] = {}
    for terminal, net in intent.net_of.items():
        if terminal in sewn.laid_out.spots:
            nets.setdefault(sewn.component_of[terminal], set()).add(net)
    witnesses: dict[tuple[str, str], _Way] = {}
    for number, names in nets.items():
        if len(names) < 2:
            continue
        for net in sorted(names, key=order.index):
            for other, way in _reached(sewn, intent, number, net).items():
                pair = (net, other) if order.index(net) < order.index(other) else (other, net)
                if pair not in witnesses or len(way.contacts) < len(witnesses[pair].contacts):
                    witnesses[pair] = way
    for pair in sorted(witnesses, key=lambda names: (order.index(names[0]), order.index(names[1]))):
        yield _short(sewn, intent, pair, witnesses[pair])


def _reached(sewn: SewnGraph, intent: Intent, number: int, net: str) -> dict[str, _Way]:
    """The other connections that thread of `net` touches, each with the fewest contacts that lead to it.

    A breadth-first search by contacts over what belongs to `net` or to no connection.
    """
    start = [node for node in sewn.components[number] if net in intent.owner(node)]
    queue = deque((node, 0) for node in sorted(start))
    came: dict[str, tuple[str, Contact | None] | None] = {node: None for node in start}
    cost = dict.fromkeys(start, 0)
    found: dict[str, _Way] = {}
    while queue:
        node, paid = queue.popleft()
        if paid > cost[node]:
            continue
        owner = intent.owner(node)
        for other in owner - {net}:
            found.setdefault(other, _way_back(came, node))
        if owner and net not in owner:
            continue
        for neighbour, edges in sewn.graph[node].items():
            free = any(edge["kind"] != "contact" for edge in edges.values())
            price = paid + (0 if free else 1)
            if price < cost.get(neighbour, price + 1):
                cost[neighbour] = price
                contact = None if free else next(iter(edges.values()))["contact"]
                came[neighbour] = (node, contact)
                (queue.appendleft if free else queue.append)((neighbour, price))
    return found


def _way_back(came: Mapping[str, tuple[str, Contact | None] | None], node: str) -> _Way:
    contacts: list[Contact] = []
    nodes = [node]
    step = came[node]
    while step is not None:
        before, contact = step
        nodes.insert(0, before)
        if contact is not None:
            contacts.insert(0, contact)
        step = came[before]
    return _Way(contacts, nodes)


def _short(sewn: SewnGraph, intent: Intent, pair: tuple[str, str], way: _Way) -> Short:
    others = [contact for contact in sewn.contacts if contact not in way.contacts and _between(intent, contact, pair)]
    unused = tuple(node for node in way.nodes if node in sewn.laid_out.spots and node not in intent.net_of)
    return Short(pair, (*way.contacts, *others), _direct_lines(intent, pair), len(way.contacts), unused)


def _between(intent: Intent, contact: Contact, pair: tuple[str, str]) -> bool:
    """Whether thread of the one connection touches thread or a terminal of the other here."""
    one = intent.owner(contact.line)
    other = intent.owner(contact.other or contact.terminal or "")
    first, second = pair
    return one != other and ((first in one and second in other) or (second in one and first in other))


def _direct_lines(intent: Intent, pair: tuple[str, str]) -> tuple[str, ...]:
    """Lines on the shortest drawn ways, over joins alone, from a terminal of the one to one of the other."""
    found: dict[str, None] = {}
    starts = [node for node in intent.drawn if intent.net_of.get(node) == pair[0]]
    for start in starts:
        came: dict[str, tuple[str, str]] = {}
        queue = deque([start])
        while queue:
            node = queue.popleft()
            if node != start and not node.startswith("@"):
                if intent.net_of.get(node) == pair[1]:
                    while node != start:
                        node, line = came[node]
                        found[line] = None
                continue
            for neighbour, edges in intent.drawn[node].items():
                if neighbour != start and neighbour not in came:
                    came[neighbour] = (node, next(iter(edges.values()))["line"])
                    queue.append(neighbour)
    return tuple(found)
