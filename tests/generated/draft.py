"""A layout in the making, with its own arithmetic: where terminals lie is worked out here, not by what is tested.

Millimetres, x right, y down. Points are complex numbers, x + yj, so that turning by an angle is one multiplication
and mirroring is −conjugate.
"""

from __future__ import annotations

import cmath
import itertools
import json
import math
import random
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

import networkx as nx

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.part_types import Circle, Rectangle
from projects.circuit.project_file import read

__all__ = ["Draft", "Drawn", "Put"]

ALLOWANCE = 8.0


@dataclass
class Put:
    """Where a part lies, or one terminal of it."""

    piece: str
    at: complex
    turn: float = 0.0
    inside: bool = False

    def on_fabric(self, offset: complex) -> complex:
        """An offset from the part's middle, as it lies; seen through the fabric it is mirrored first."""
        seen = -offset.conjugate() if self.inside else offset
        return self.at + seen * cmath.rect(1.0, math.radians(self.turn))


@dataclass
class Drawn:
    """A line of the connection `net`; `wave` lets it be drawn less straight."""

    net: str
    piece: str
    start: str
    end: str
    via: list[complex]
    wave: bool = True


@dataclass
class Draft:
    """Everything of a project file that a generated layout needs; `connections` come from the lines drawn."""

    scheme: str
    types: dict[str, str] = field(default_factory=dict)
    puts: dict[str, Put] = field(default_factory=dict)
    joins: dict[str, Put] = field(default_factory=dict)
    lines: dict[str, Drawn] = field(default_factory=dict)
    covers: list[tuple[str, complex, float]] = field(default_factory=list)
    pins: dict[str, str] = field(default_factory=dict)
    connections: dict[str, list[str]] = field(default_factory=dict)
    outlines: dict[str, list[complex]] = field(default_factory=dict)
    project: dict[str, Any] = field(default_factory=dict)

    def part(self, ref: str, kind: str, at: complex, turn: float = 0.0, piece: str = "front") -> None:
        """Add a part and put it on a piece."""
        self.types[ref] = kind
        self.puts[ref] = Put(piece, at, turn)

    def line(self, net: str, start: str, end: str, *via: complex, piece: str = "front", wave: bool = True) -> str:
        """Draw a line of a connection; its terminals belong to that connection from now on."""
        name = f"s{len(self.lines)}"
        self.lines[name] = Drawn(net, piece, start, end, list(via), wave)
        of_net = self.connections.setdefault(net, [])
        of_net += [end for end in (start, end) if not end.startswith("@") and end not in of_net]
        return name

    def join(self, at: complex, piece: str = "front") -> str:
        """Add a meeting point; gives the end that names it."""
        name = f"j{len(self.joins)}"
        self.joins[name] = Put(piece, at)
        return f"@{name}"

    def spot(self, end: str) -> complex:
        """Where a terminal or join lies."""
        if end.startswith("@"):
            return self.joins[end[1:]].at
        ref, _, name = end.partition(".")
        if end in self.puts:
            return self.puts[end].at
        terminal = catalogue()[self.types[ref]].terminal(name)
        return self.puts[ref].on_fabric(complex(terminal.x, terminal.y))

    def piece_of(self, end: str) -> str:
        """The piece on which a terminal or join lies."""
        if end.startswith("@"):
            return self.joins[end[1:]].piece
        return (self.puts.get(end) or self.puts[end.partition(".")[0]]).piece

    def terminals(self) -> list[str]:
        """All terminals of all parts, in order."""
        return [f"{ref}.{one.name}" for ref, kind in self.types.items() for one in catalogue()[kind].terminals]

    def course(self, name: str) -> list[complex]:
        """All points of a line."""
        line = self.lines[name]
        return [self.spot(line.start), *line.via, self.spot(line.end)]

    def body(self, ref: str) -> list[complex]:
        """The outline of a part's body as it lies; a circle as 128 points on it."""
        body = catalogue()[self.types[ref]].body
        if isinstance(body, Circle):
            points = [cmath.rect(body.diameter / 2, 2 * math.pi * n / 128) for n in range(128)]
        else:
            assert isinstance(body, Rectangle)
            w, h = body.width / 2, body.height / 2
            points = [complex(-w, -h), complex(w, -h), complex(w, h), complex(-w, h)]
        return [self.puts[ref].on_fabric(point) for point in points]

    def joined(self) -> list[tuple[str, ...]]:
        """Terminals that are one inside their part."""
        return [
            tuple(f"{ref}.{name}" for name in names)
            for ref, kind in self.types.items()
            for names in catalogue()[kind].groups()
            if len(names) > 1
        ]

    def threads(self) -> nx.MultiGraph[str]:
        """Ends joined by lines (key: the line) and inside parts: what is sewn as long as nothing touches."""
        graph: nx.MultiGraph[str] = nx.MultiGraph()
        graph.add_nodes_from(self.terminals())
        for names in self.joined():
            graph.add_edges_from(itertools.pairwise(names))
        for name, line in self.lines.items():
            graph.add_edge(line.start, line.end, key=name)
        return graph

    def moved(self, rng: random.Random) -> Draft:
        """The same layout, each piece turned, mirrored or moved at random."""
        new = deepcopy(self)
        for piece in self.outlines:
            mirror = rng.random() < 0.5
            turn = rng.choice((0.0, 90.0, 180.0, 270.0, rng.uniform(0.0, 360.0)))
            shift = complex(rng.uniform(-500, 500), rng.uniform(-500, 500))
            frame = Put(piece, shift, turn, mirror)
            new.outlines[piece] = [frame.on_fabric(point) for point in new.outlines[piece]]
            for put in (*new.puts.values(), *new.joins.values()):
                if put.piece == piece:
                    put.at = frame.on_fabric(put.at)
                    put.turn = turn - put.turn if mirror else turn + put.turn
                    put.inside ^= mirror
            for line in new.lines.values():
                if line.piece == piece:
                    line.via = [frame.on_fabric(point) for point in line.via]
            new.covers = [(on, frame.on_fabric(at) if on == piece else at, r) for on, at, r in new.covers]
        return new

    def document(self) -> Document:
        """The layout as read from a project file of it."""
        return read(json.dumps(self._value()).encode())

    def _value(self) -> dict[str, Any]:
        places = [{"ref": end.partition(".")[0], **_place(put, end)} for end, put in self.puts.items()]
        joins = [{"name": name, "piece": put.piece, **_xy(put.at)} for name, put in self.joins.items()]
        lines = [
            {"name": name, "piece": one.piece, "from": one.start, "to": one.end, "via": [_pair(at) for at in one.via]}
            for name, one in self.lines.items()
        ]
        pieces = [
            {"name": name, "outline": [_pair(at) for at in points], "seam_allowance": ALLOWANCE}
            for name, points in self.outlines.items()
        ]
        return {
            "format": "tieoff/1",
            "project": {
                "title": self.scheme,
                "pieces": pieces,
                "parts": [{"ref": ref, "type": kind} for ref, kind in self.types.items()],
                "pins": self.pins,
                "connections": [{"name": name, "terminals": ends} for name, ends in self.connections.items()],
                **self.project,
            },
            "layout": {
                "places": places,
                "joins": joins,
                "lines": lines,
                "covers": [{"piece": piece, **_xy(at), "radius": radius} for piece, at, radius in self.covers],
            },
        }


def _pair(at: complex) -> list[float]:
    return [at.real, at.imag]


def _xy(at: complex) -> dict[str, float]:
    return {"x": at.real, "y": at.imag}


def _place(put: Put, end: str) -> dict[str, Any]:
    side = "inside" if put.inside else "outside"
    place = {"piece": put.piece, **_xy(put.at), "turn": put.turn, "side": side}
    return {**place, "terminal": end.partition(".")[2]} if "." in end else place
