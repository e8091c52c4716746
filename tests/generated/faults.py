"""One fault put into a sound draft, and what must then be found; the choice is made from the draft alone."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass

import networkx as nx

from projects.circuit.catalogue import catalogue
from projects.circuit.part_types import Circle, Led, Load, Rectangle
from tests.generated.draft import Draft, Drawn

__all__ = ["FAULTS", "Fault", "near_miss"]


@dataclass
class Fault:
    """The draft with its fault: the rule that must speak, and the connections, lines or parts it must name."""

    kind: str
    rule: str
    draft: Draft
    connections: frozenset[str] = frozenset()
    lines: frozenset[str] = frozenset()
    parts: frozenset[str] = frozenset()


def forgotten_line(draft: Draft, rng: random.Random) -> Fault:
    """Open: a line is left out."""
    name = rng.choice(_bridges(draft))
    new = deepcopy(draft)
    net = new.lines.pop(name).net
    return Fault("a line left out", "open", new, connections=frozenset((net,)))


def broken_line(draft: Draft, rng: random.Random) -> Fault:
    """Open: a line ends before it gets there."""
    name = rng.choice(_bridges(draft))
    new = deepcopy(draft)
    line = new.lines[name]
    course = draft.course(name)
    short_of = course[-2] + (course[-1] - course[-2]) * rng.uniform(0.2, 0.6)
    line.end = new.join(short_of, line.piece)
    return Fault("a line that ends too soon", "open", new, connections=frozenset((line.net,)))


def _bridges(draft: Draft) -> list[str]:
    """Lines without which a connection falls apart."""
    found = []
    for name, line in draft.lines.items():
        graph = draft.threads()
        graph.remove_edge(line.start, line.end, key=name)
        groups = list(nx.connected_components(graph))
        if sum(not group.isdisjoint(draft.connections[line.net]) for group in groups) > 1:
            found.append(name)
    return found


def crossing(draft: Draft, rng: random.Random) -> Fault:
    """Short: a line is led over one of another connection, and back."""
    name, other = rng.choice(list(_strangers(draft)))
    new = deepcopy(draft)
    at, way = _somewhere(draft, other, rng)
    beyond = at + way * 1j * rng.choice((-1, 1)) * rng.uniform(0.5, 4.0)
    _detour(new, name, [at, beyond], rng)
    return _short("lines that cross", new, name, other)


def touching(draft: Draft, rng: random.Random) -> Fault:
    """Short: a line comes closer to one of another connection than threads may."""
    name, other = rng.choice(list(_strangers(draft)))
    new = deepcopy(draft)
    at, way = _somewhere(draft, other, rng)
    gap = float(draft.project["contact"]) * rng.uniform(0.3, 0.98)
    _detour(new, name, [at + way * 1j * rng.choice((-1, 1)) * gap], rng)
    return _short("lines too near each other", new, name, other)


def near_miss(draft: Draft, rng: random.Random) -> Draft:
    """No fault for certain: a line comes close to another line, to a terminal or to the rim of a body.

    By a hundredth to a tenth of a millimetre it touches or misses; `truth` says which, and what its way there crosses.
    """
    name = rng.choice(list(draft.lines))
    piece = draft.lines[name].piece
    new = deepcopy(draft)
    by = rng.choice((-1, 1)) * rng.uniform(0.01, 0.1)
    aim = complex(math.cos(turn := rng.uniform(0, 7)), math.sin(turn))
    kind = rng.choice(("line", "terminal", "body"))
    bodies = [ref for ref, of in draft.types.items() if catalogue()[of].no_sew and draft.puts[ref].piece == piece]
    if kind == "body" and bodies:
        ref = rng.choice(bodies)
        point = draft.puts[ref].on_fabric(_inside(draft.types[ref], by, rng))
    elif kind == "terminal":
        end = rng.choice([end for end in draft.terminals() if draft.piece_of(end) == piece])
        radius = catalogue()[draft.types[end.partition(".")[0]]].terminal_radius
        point = draft.spot(end) + (radius + by) * aim
    else:
        other = rng.choice([other for other, line in draft.lines.items() if line.piece == piece])
        at, way = _somewhere(draft, other, rng)
        point = at + way * 1j * rng.choice((-1, 1)) * (float(draft.project["contact"]) + by)
    _detour(new, name, [point], rng)
    return new


def over_terminal(draft: Draft, rng: random.Random) -> Fault:
    """Short: a line is led over a terminal of another connection."""
    net_of = {end: net for net, ends in draft.connections.items() for end in ends}
    choices = [
        (name, end)
        for name, line in draft.lines.items()
        for end, net in net_of.items()
        if net != line.net and draft.piece_of(end) == line.piece
    ]
    name, end = rng.choice(choices)
    new = deepcopy(draft)
    radius = catalogue()[draft.types[end.partition(".")[0]]].terminal_radius
    off = radius * rng.uniform(0.0, 0.98) * complex(math.cos(turn := rng.uniform(0, 7)), math.sin(turn))
    _detour(new, name, [draft.spot(end) + off], rng)
    nets = frozenset((draft.lines[name].net, net_of[end]))
    return Fault("a line over a terminal", "short", new, connections=nets, lines=frozenset((name,)))


def wrong_terminal(draft: Draft, rng: random.Random) -> Fault:
    """Short: one more line joins two connections outright."""
    name, other = rng.choice(list(_strangers(draft)))
    new = deepcopy(draft)
    ends = [draft.lines[name].start, draft.lines[other].end]
    between = (draft.spot(ends[0]) + draft.spot(ends[1])) / 2 + complex(rng.uniform(-9, 9), rng.uniform(-9, 9))
    new.lines["wrong"] = Drawn(draft.lines[name].net, draft.lines[name].piece, ends[0], ends[1], [between])
    fault = _short("a line that joins what it must not", new, name, other)
    fault.lines = frozenset(("wrong",))
    return fault


def _short(kind: str, new: Draft, name: str, other: str) -> Fault:
    nets = frozenset((new.lines[name].net, new.lines[other].net))
    return Fault(kind, "short", new, connections=nets, lines=frozenset((name, other)))


def _strangers(draft: Draft) -> Iterator[tuple[str, str]]:
    """Pairs of lines of one piece and two connections."""
    for name, line in draft.lines.items():
        for other, there in draft.lines.items():
            if line.net != there.net and line.piece == there.piece:
                yield name, other


def _somewhere(draft: Draft, name: str, rng: random.Random) -> tuple[complex, complex]:
    """A point on a line that no cover hides, and the way the line runs there."""
    course = draft.course(name)
    while True:
        number = rng.randrange(len(course) - 1)
        start, end = course[number], course[number + 1]
        at = start + (end - start) * rng.uniform(0.1, 0.9)
        hidden = any(on == draft.lines[name].piece and abs(at - centre) < r + 3 for on, centre, r in draft.covers)
        if not hidden and start != end:
            return at, (end - start) / abs(end - start)


def _detour(draft: Draft, name: str, points: list[complex], rng: random.Random) -> None:
    """Lead a line over more points, somewhere on its way."""
    via = draft.lines[name].via
    at = rng.randint(0, len(via))
    via[at:at] = points


def beneath_body(draft: Draft, rng: random.Random) -> Fault:
    """Under-part: a line is bent deep beneath a body that no thread may pass."""
    return _beneath(draft, rng, "a line beneath a body", rng.uniform(1.0, 9.0))


def grazing(draft: Draft, rng: random.Random) -> Fault:
    """Under-part: a line is bent just beneath the rim; 0.12 mm of it at least, once in and once out."""
    return _beneath(draft, rng, "a line just beneath a body", rng.uniform(0.06, 0.2))


def _beneath(draft: Draft, rng: random.Random, kind: str, depth: float) -> Fault:
    refs = [ref for ref, of in draft.types.items() if catalogue()[of].no_sew]
    choices = [(ref, name) for ref in refs for name, one in draft.lines.items() if one.piece == draft.puts[ref].piece]
    ref, name = rng.choice(choices)
    new = deepcopy(draft)
    _detour(new, name, [draft.puts[ref].on_fabric(_inside(draft.types[ref], depth, rng))], rng)
    return Fault(kind, "under-part", new, lines=frozenset((name,)), parts=frozenset((ref,)))


def _inside(kind: str, depth: float, rng: random.Random) -> complex:
    """A point `depth` mm inside the rim of a body, from the part's middle."""
    body = catalogue()[kind].body
    if isinstance(body, Circle):
        turn = rng.uniform(0.0, 2 * math.pi)
        return (body.diameter / 2 - depth) * complex(math.cos(turn), math.sin(turn))
    assert isinstance(body, Rectangle)
    w, h = body.width / 2 - depth, body.height / 2 - depth
    along = rng.uniform(-1, 1)
    return rng.choice((complex(w, along * h), complex(-w, along * h), complex(along * w, h), complex(along * w, -h)))


def turned_light(draft: Draft, rng: random.Random) -> Fault:
    """Reversed: one light or buzzer is sewn on half round; the thread stays where it was."""
    if not _turnable(draft):
        return turned_cell(draft, rng)
    ref = rng.choice(_turnable(draft))
    parts = frozenset((ref,)) if len(_turnable(draft)) > 1 else frozenset((ref, "B1"))
    return Fault("a light half round", "reversed", _turned(draft, ref), parts=parts)


def turned_lights(draft: Draft, rng: random.Random) -> Fault:
    """Reversed: several lights are half round, not all."""
    lights = _turnable(draft)
    if not lights:
        return turned_cell(draft, rng)
    refs = rng.sample(lights, rng.randint(1, max(1, len(lights) - 1)))
    new = draft
    for ref in refs:
        new = _turned(new, ref)
    parts = frozenset(refs) if len(lights) > 1 else frozenset((*refs, "B1"))
    return Fault("lights half round", "reversed", new, parts=parts)


def turned_cell(draft: Draft, rng: random.Random) -> Fault:
    """Reversed: the holder is half round, so that all that has sides is fed the wrong way."""
    sided = frozenset(ref for ref in draft.types if ref == "M1" or ref in _turnable(draft))
    return Fault("the holder half round", "reversed", _turned(draft, "B1"), parts=frozenset(("B1", *sided)))


def _turnable(draft: Draft) -> list[str]:
    models = {ref: catalogue()[kind] for ref, kind in draft.types.items()}
    return [ref for ref, kind in models.items() if isinstance(kind.model, Led | Load) and kind.with_role("positive")]


def _turned(draft: Draft, ref: str) -> Draft:
    """The part half round: each of its terminals now lies where its opposite was, and takes over that one's lines."""
    new = deepcopy(draft)
    new.puts[ref].turn += 180.0
    ends = [f"{ref}.{one.name}" for one in catalogue()[draft.types[ref]].terminals]
    opposite = {end: min(ends, key=lambda one: abs(new.spot(one) - draft.spot(end))) for end in ends}
    for line in new.lines.values():
        line.start = opposite.get(line.start, line.start)
        line.end = opposite.get(line.end, line.end)
    return new


FAULTS: dict[str, tuple[Callable[[Draft, random.Random], Fault], ...]] = {
    "open": (forgotten_line, broken_line),
    "short": (crossing, touching, over_terminal, wrong_terminal),
    "under-part": (beneath_body, grazing),
    "reversed": (turned_light, turned_lights, turned_cell),
}
