"""What is true of a draft, measured slowly and plainly with shapely on the draft's own points; never by the checker."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import networkx as nx
import shapely

from projects.circuit.catalogue import catalogue
from tests.generated.draft import Draft

__all__ = ["Truth", "clearance", "truth"]


@dataclass(frozen=True)
class Truth:
    """`opens`: connections in more than one component; `shorts`: pairs of connections in one component;
    `under`: lines beneath bodies that no thread may pass, with the part.
    """

    opens: frozenset[str]
    shorts: frozenset[tuple[str, str]]
    under: frozenset[tuple[str, str]]


def truth(draft: Draft) -> Truth:
    """Opens, shorts and lines beneath bodies of a draft."""
    contact = float(draft.project["contact"])
    graph = draft.threads()
    for a, b in _touching(draft, contact):
        graph.add_edge(draft.lines[a].start, draft.lines[b].start)
    for name, terminal in _passing(draft):
        graph.add_edge(draft.lines[name].start, terminal)
    component = {node: n for n, nodes in enumerate(nx.connected_components(graph)) for node in nodes}
    opens = {net for net, ends in draft.connections.items() if len({component[end] for end in ends}) > 1}
    nets: dict[int, set[str]] = {}
    for net, ends in draft.connections.items():
        for end in ends:
            nets.setdefault(component[end], set()).add(net)
    pairs = {pair for some in nets.values() for pair in itertools.combinations(sorted(some), 2)}
    return Truth(frozenset(opens), frozenset(pairs), frozenset(_beneath(draft)))


def clearance(draft: Draft) -> float:
    """The least distance between lines of different connections, covers cut out, mm."""
    return min((gap for a, b, gap in _gaps(draft) if draft.lines[a].net != draft.lines[b].net), default=1e9)


def _shapes(draft: Draft, piece: str, *, cut: bool) -> dict[str, shapely.Geometry]:
    shapes: dict[str, shapely.Geometry] = {
        name: shapely.LineString([(at.real, at.imag) for at in draft.course(name)])
        for name, line in draft.lines.items()
        if line.piece == piece
    }
    discs = [shapely.Point(at.real, at.imag).buffer(r, quad_segs=64) for on, at, r in draft.covers if on == piece]
    return {name: shape.difference(shapely.union_all(discs)) for name, shape in shapes.items()} if cut else shapes


def _gaps(draft: Draft) -> list[tuple[str, str, float]]:
    found = []
    for piece in draft.outlines:
        shapes = _shapes(draft, piece, cut=bool(draft.covers))
        found += [(a, b, shapely.distance(shapes[a], shapes[b])) for a, b in itertools.combinations(shapes, 2)]
    return found


def _touching(draft: Draft, contact: float) -> list[tuple[str, str]]:
    return [(a, b) for a, b, gap in _gaps(draft) if gap < contact]


def _passing(draft: Draft) -> list[tuple[str, str]]:
    """Lines over terminals at which they do not end."""
    found = []
    for piece in draft.outlines:
        shapes = _shapes(draft, piece, cut=False)
        for terminal in draft.terminals():
            if draft.piece_of(terminal) == piece:
                spot = draft.spot(terminal)
                radius = catalogue()[draft.types[terminal.partition(".")[0]]].terminal_radius
                near = shapely.Point(spot.real, spot.imag)
                found += [
                    (name, terminal)
                    for name, shape in shapes.items()
                    if terminal not in (draft.lines[name].start, draft.lines[name].end)
                    and shapely.distance(shape, near) <= radius
                ]
    return found


def _beneath(draft: Draft) -> list[tuple[str, str]]:
    """More than 0.1 mm inside; a circle is measured as a polygon of 128 corners on it, 4 micrometres too small."""
    found = []
    for ref, kind in draft.types.items():
        if catalogue()[kind].no_sew:
            body = shapely.Polygon([(at.real, at.imag) for at in draft.body(ref)])
            shapes = _shapes(draft, draft.puts[ref].piece, cut=False)
            found += [(name, ref) for name, shape in shapes.items() if shape.intersection(body).length > 0.1]
    return found
