"""How long a full check takes, without any reading or writing, and how it grows with the layout."""

from __future__ import annotations

import json
import math
from functools import partial

from checks.engine import check
from checks.sewn import sew
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.project_file import read
from tests.bench.measure import Measure, median_seconds

__all__ = ["chain", "measure"]

PARTS = 15
POINTS = 20


def chain(scale: int) -> Document:
    """A sound layout of 15 × `scale` parts in a ring: a holder, two switches, a light, resistors. Between each two
    are three lines of 20 points, in wavy lanes (43 lines at scale 1).
    """
    number = PARTS * scale
    types = ["coin-holder", "slide-switch", "slide-switch", "light-white", *["resistor-220"] * (number - 4)]
    refs = [f"P{n}" for n in range(number)]
    ends = [("p1", "n1"), ("a", "b"), ("a", "b"), ("minus", "plus"), *[("a", "b")] * (number - 4)]
    places = [
        # Each with its first end at the top; a light has its − at the other end.
        {"ref": ref, "piece": "front", "x": 40, "y": 40 + 32 * n, "turn": 270 if kind == "light-white" else 90}
        for n, (ref, kind) in enumerate(zip(refs, types, strict=True))
    ]
    connections, joins, lines = [], [], []
    for n in range(number - 1):
        first, second = f"{refs[n]}.{ends[n][1]}", f"{refs[n + 1]}.{ends[n + 1][0]}"
        connections.append({"name": f"c{n}", "terminals": [first, second]})
        # The lanes of one connection leave the lower terminal of one part and the upper one of the next.
        heights = {first: 40 + 32 * n + 8, second: 40 + 32 * (n + 1) - 8}
        for side, terminal in zip("ab", (first, second), strict=True):
            y = heights[terminal] + (4 if "P0." in terminal else 0)
            joins.append({"name": f"j{n}{side}", "piece": "front", "x": 300, "y": y})
            via = [[60 + 12 * k, y + (1 if k % 2 else -1)] for k in range(POINTS - 2)]
            lines.append({"name": f"s{n}{side}", "piece": "front", "from": terminal, "to": f"@j{n}{side}", "via": via})
        top, bottom = (joins[-2]["y"], joins[-1]["y"])
        via = [[300 + (1 if k % 2 else -1), top + (bottom - top) * (k + 1) / (POINTS - 1)] for k in range(POINTS - 2)]
        lines.append({"name": f"t{n}", "piece": "front", "from": f"@j{n}a", "to": f"@j{n}b", "via": via})
    last, bottom = f"{refs[-1]}.{ends[-1][1]}", 40 + 32 * (number - 1) + 14
    connections.append({"name": "back", "terminals": [last, "P0.p1"]})
    round_it = [[40, bottom], [16, bottom], *([16, bottom - (bottom - 20) * k / 15] for k in range(1, 16)), [46, 20]]
    lines.append({"name": "back", "piece": "front", "from": last, "to": "P0.p1", "via": round_it})
    return read(
        json.dumps(
            {
                "format": "tieoff/1",
                "project": {
                    "title": "Chain of lights",
                    "pieces": [
                        {"name": "front", "outline": [[0, 0], [340, 0], [340, 40 + 32 * number], [0, 40 + 32 * number]]}
                    ],
                    "parts": [{"ref": ref, "type": kind} for ref, kind in zip(refs, types, strict=True)],
                    "connections": connections,
                },
                "layout": {"places": places, "joins": joins, "lines": lines},
            }
        ).encode()
    )


def measure() -> list[Measure]:
    """Geometry and all rules at 43 lines of 20 points and 15 parts, and the exponent of growth to 8 × that."""
    sizes = (1, 2, 4, 8)
    documents = [chain(size) for size in sizes]
    geometry = 1000 * median_seconds(partial(_geometry, documents[0]))
    full = [1000 * median_seconds(partial(check, document)) for document in documents]
    exponent = max(math.log(later / full[0]) / math.log(size) for later, size in zip(full[1:], sizes[1:], strict=True))
    return [
        Measure("check: geometry, 43 lines of 20 points", geometry, 10.0, "ms"),
        Measure("check: all rules, the same", full[0], 30.0, "ms"),
        Measure("check: growth to ×2, ×4, ×8, largest exponent", exponent, 1.5, ""),
    ]


def _geometry(document: Document) -> None:
    sew(lay_out(document))
