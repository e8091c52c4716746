"""The sewn graph: what the thread of a layout really joins, from geometry alone.

Nodes are strings: terminals (`B1.p1`), joins (`@j1`) and points on lines where they touch something (`s1:1`, `s1:2`
in order along the line). Each edge has a `kind`:

* `thread`: a stretch of a line; `line` its name, `length_mm` its path;
* `contact`: two threads touch, or a thread passes over a terminal; `contact` is the `Contact`;
* `joined`: terminals joined inside a part, or by a `link`; `part` its ref. Never through a switch.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import networkx as nx

from checks.passages import Passage, passages
from checks.segments import Disc
from checks.touching import MOST_CONTACTS, Closeness, Hub, Stretch, TooTangledError
from projects.circuit.fabric import Course, LaidOut, Spot

__all__ = ["CloseLines", "Contact", "SewnGraph", "sew"]


@dataclass(frozen=True)
class Contact:
    """Thread touches thread (`other` is a line), or passes over a terminal (`terminal`), at `spot`."""

    line: str
    other: str | None
    terminal: str | None
    spot: Spot
    distance_mm: float

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines that touch."""
        return (self.line,) if self.other is None else (self.line, self.other)


@dataclass(frozen=True)
class CloseLines:
    """Two lines, by name, of one piece, and the stretch along which they are close."""

    line: str
    other: str
    spot: Spot
    stretch: Stretch


@dataclass(frozen=True, eq=False)
class SewnGraph:
    """What the thread joins; see the module for nodes and edges. `contacts` in order of pieces and lines."""

    laid_out: LaidOut
    graph: nx.MultiGraph[str]
    contacts: tuple[Contact, ...]
    closeness: Mapping[str, Closeness]

    @cached_property
    def component_of(self) -> Mapping[str, int]:
        """Number of the component of each node."""
        return {node: number for number, nodes in enumerate(self.components) for node in nodes}

    @cached_property
    def components(self) -> tuple[frozenset[str], ...]:
        """All nodes by what is joined with what."""
        return tuple(frozenset(nodes) for nodes in nx.connected_components(self.graph))

    def sewn(self) -> tuple[tuple[str, ...], ...]:
        """Groups of two or more placed terminals that are joined; each sorted, and the list sorted."""
        spots = self.laid_out.spots
        groups = (tuple(sorted(node for node in nodes if node in spots)) for nodes in self.components)
        return tuple(sorted(group for group in groups if len(group) > 1))

    @cached_property
    def threads_at(self) -> Mapping[str, tuple[str, ...]]:
        """Lines that end at a terminal or pass over it, by terminal; terminals without thread are left out."""
        found: dict[str, dict[str, None]] = {}
        for course in self.laid_out.courses:
            for end in (course.line.start, course.line.end):
                if not end.startswith("@"):
                    found.setdefault(end, {})[course.name] = None
        for contact in self.contacts:
            if contact.terminal is not None:
                found.setdefault(contact.terminal, {})[contact.line] = None
        return {terminal: tuple(lines) for terminal, lines in found.items()}

    def close_lines(self, closer_than: float) -> list[CloseLines]:
        """Stretches along which lines that the thread does not join are closer than this (at most `spacing`)."""
        found: list[CloseLines] = []
        for piece, closeness in self.closeness.items():
            courses = _on_piece(self.laid_out, piece)
            component = [self.component_of[course.line.start] for course in courses]
            apart = closeness.stretches(closer_than, wanted=lambda a, b, of=component: of[a] != of[b])  # type: ignore[misc]
            for stretch in apart:
                spot = _middle(piece, stretch)
                found.append(CloseLines(courses[stretch.a].name, courses[stretch.b].name, spot, stretch))
        return found


def sew(laid_out: LaidOut) -> SewnGraph:
    """Build the sewn graph of a layout: lines with both ends known, placed terminals, all that touches."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(laid_out.spots)
    for group in laid_out.groups():
        placed = [terminal for terminal in group if terminal in laid_out.spots]
        for first, second in itertools.pairwise(placed):
            graph.add_edge(first, second, kind="joined", part=first.partition(".")[0])
    contacts: list[Contact] = []
    closeness: dict[str, Closeness] = {}
    for piece in laid_out.pieces:
        if courses := _on_piece(laid_out, piece):
            closeness[piece] = _close(laid_out, piece, courses)
            contacts += _sew_piece(laid_out, piece, courses, closeness[piece], graph)
    return SewnGraph(laid_out, graph, tuple(contacts), closeness)


def _on_piece(laid_out: LaidOut, piece: str) -> list[Course]:
    return [course for course in laid_out.courses if course.piece == piece]


def _middle(piece: str, stretch: Stretch) -> Spot:
    (ax, ay), (bx, by) = stretch.point_a, stretch.point_b
    return Spot(piece, (ax + bx) / 2, (ay + by) / 2)


def _close(laid_out: LaidOut, piece: str, courses: list[Course]) -> Closeness:
    covers = [Disc(c.x, c.y, c.radius) for c in laid_out.document.layout.covers if c.piece == piece]
    reach = max(laid_out.project.spacing, laid_out.project.contact)
    return Closeness([course.points for course in courses], covers, reach)


def _sew_piece(
    laid_out: LaidOut, piece: str, courses: list[Course], closeness: Closeness, graph: nx.MultiGraph[str]
) -> list[Contact]:
    terminals = [name for name, spot in laid_out.spots.items() if spot.piece == piece]
    discs = [_disc(laid_out, name) for name in terminals]
    passed = [
        passage
        for passage in passages(closeness.segments, discs)
        if terminals[passage.disc] not in (courses[passage.path].line.start, courses[passage.path].line.end)
    ]
    if len(passed) > MOST_CONTACTS:
        raise TooTangledError(f"{len(passed)} passages over terminals")
    stretches = closeness.stretches(laid_out.project.contact, _hubs(laid_out, courses, terminals, passed))
    points: dict[int, list[tuple[float, int]]] = {}
    contacts: list[Contact] = []
    for passage in passed:
        spot = Spot(piece, *passage.point)
        points.setdefault(passage.path, []).append((passage.at_mm, len(contacts)))
        contacts.append(Contact(courses[passage.path].name, None, terminals[passage.disc], spot, passage.distance_mm))
    for stretch in stretches:
        points.setdefault(stretch.a, []).append((stretch.at_a_mm, len(contacts)))
        points.setdefault(stretch.b, []).append((stretch.at_b_mm, len(contacts)))
        names = courses[stretch.a].name, courses[stretch.b].name
        contacts.append(Contact(*names, None, _middle(piece, stretch), stretch.distance_mm))
    ends: dict[int, list[str]] = {}
    for path, course in enumerate(courses):
        for number, node in _sew_line(course, sorted(points.get(path, [])), graph):
            ends.setdefault(number, []).append(node)
    for number, contact in enumerate(contacts):
        nodes = ends[number] if contact.terminal is None else [*ends[number], contact.terminal]
        graph.add_edge(nodes[0], nodes[1], kind="contact", contact=contact)
    return contacts


def _sew_line(course: Course, points: list[tuple[float, int]], graph: nx.MultiGraph[str]) -> list[tuple[int, str]]:
    """Add the stretches of one line; gives the node of each contact on it."""
    nodes: list[tuple[int, str]] = []
    node, at = course.line.start, 0.0
    for number, (at_mm, contact) in enumerate(points, start=1):
        point = f"{course.name}:{number}"
        graph.add_edge(node, point, kind="thread", line=course.name, length_mm=max(at_mm - at, 0.0))
        nodes.append((contact, point))
        node, at = point, at_mm
    length = max(course.length_mm - at, 0.0)
    graph.add_edge(node, course.line.end, kind="thread", line=course.name, length_mm=length)
    return nodes


def _disc(laid_out: LaidOut, terminal: str) -> Disc:
    spot = laid_out.spots[terminal]
    return Disc(spot.x, spot.y, laid_out.radius(terminal))


def _hubs(laid_out: LaidOut, courses: list[Course], terminals: list[str], passed: list[Passage]) -> list[Hub]:
    """Where lines of one piece are joined already: terminals that they end at or pass over, and joins."""
    paths: dict[str, dict[int, int | None]] = {}
    for passage in passed:
        paths.setdefault(terminals[passage.disc], {})[passage.path] = None
    for path, course in enumerate(courses):
        paths.setdefault(course.line.end, {})[path] = -1
        paths.setdefault(course.line.start, {})[path] = 0
    hubs: list[Hub] = []
    for name, here in paths.items():
        if len(here) > 1:
            spot = laid_out.joins[name[1:]] if name.startswith("@") else laid_out.spots[name]
            radius = 0.0 if name.startswith("@") else laid_out.radius(name)
            hubs.append(Hub(Disc(spot.x, spot.y, radius), here))
    return hubs
