"""Documents for tests of the plan, written short: the project file's own keys, with the rest filled in."""

from __future__ import annotations

import json
import random
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from projects.circuit import project_file
from projects.circuit.document import Document

__all__ = ["LANTERN", "dense", "document", "line", "porch"]

LANTERN = Path(__file__).parent.parent / "cases" / "lantern-patch.json"


def line(name: str, start: str, end: str, *via: tuple[float, float], piece: str = "front") -> dict[str, Any]:
    return {"name": name, "piece": piece, "from": start, "to": end, "via": [list(point) for point in via]}


def document(
    parts: Mapping[str, str],
    connections: Mapping[str, str],
    places: Mapping[str, tuple[float, float] | tuple[float, float, float]],
    lines: Sequence[dict[str, Any]],
    layout: Mapping[str, Any] | None = None,
    **project: Any,
) -> Document:
    """`parts` ref → type; `connections` name → terminals with spaces between; `places` ref → x, y and perhaps turn."""
    laid = [
        {"ref": ref, "piece": "front", "x": at[0], "y": at[1], "turn": at[2] if len(at) > 2 else 0}
        for ref, at in places.items()
    ]
    value = {
        "format": "tieoff/1",
        "project": {
            "title": "Test",
            "pieces": [{"name": "front", "outline": [[0, 0], [2000, 0], [2000, 2000], [0, 2000]]}],
            "parts": [{"ref": ref, "type": kind} for ref, kind in parts.items()],
            "connections": [{"name": name, "terminals": ends.split()} for name, ends in connections.items()],
            **project,
        },
        "layout": {"places": laid, "lines": list(lines), **(layout or {})},
    }
    return project_file.read(json.dumps(value).encode())


def porch(**project: Any) -> Document:
    """A cell, a switch in the negative line, a controller with two lights and a light sensor."""
    return document(
        {"B1": "coin-holder", "M1": "controller-5", "S1": "slide-switch", "L1": "light-red", "L2": "light-red"}
        | {"D1": "light-sensor"},
        {
            "glow": "M1.a1 L1.plus",
            "sense": "M1.a3 D1.a",
            "low": "M1.minus S1.b L1.minus L2.minus D1.b",
            "cell-low": "B1.n1 B1.n2 S1.a",
            "blink": "M1.a2 L2.plus",
            "high": "B1.p1 B1.p2 M1.plus",
        },
        {
            "B1": (100, 100),
            "M1": (300, 100),
            "S1": (200, 200),
            "L1": (400, 100),
            "L2": (400, 200),
            "D1": (300, 300),
        },
        [
            line("p1", "M1.plus", "B1.p1", (300, 20), (60, 20)),
            line("n1", "B1.n1", "S1.a", (150, 94), (150, 200)),
            line("n2", "S1.b", "M1.minus", (250, 200)),
            line("n3", "L1.minus", "L2.minus", (450, 150)),
            line("n4", "L2.minus", "D1.b", (450, 300)),
            line("n5", "D1.b", "S1.b", (350, 350), (220, 350)),
            line("g1", "L1.plus", "M1.a1"),
            line("b1", "M1.a2", "L2.plus"),
            line("s1", "D1.a", "M1.a3"),
        ],
        **project,
    )


def dense(seed: int) -> Document:
    """A tangle of many lines between a few parts and joins; the same seed gives the same tangle."""
    dice = random.Random(seed)
    parts = {"B1": "coin-holder", "M1": "controller-8", "R1": "resistor-220", "S1": "slide-switch", "L1": "light-white"}
    refs = list(parts)
    ends = [f"B1.{name}" for name in ("p1", "p2", "n1", "n2")] + ["M1.plus", "M1.minus", "M1.a1", "R1.a", "R1.b"]
    ends += ["S1.a", "S1.b", "L1.plus", "L1.minus"]
    shuffled = dice.sample(ends, len(ends))
    connections = {"one": " ".join(shuffled[:4]), "two": " ".join(shuffled[4:8]), "three": " ".join(shuffled[8:11])}
    joins = [
        {"name": f"j{n}", "piece": "front", "x": dice.randint(50, 450), "y": dice.randint(50, 450)} for n in range(4)
    ]
    ends += [f"@{join['name']}" for join in joins]

    def via() -> list[tuple[float, float]]:
        return [(dice.randint(20, 480), dice.randint(20, 480)) for _ in range(dice.randint(0, 3))]

    lines = [line(f"s{n}", dice.choice(ends), dice.choice(ends), *via()) for n in range(dice.randint(6, 16))]
    covers = [
        {"piece": "front", "x": dice.randint(50, 450), "y": dice.randint(50, 450), "radius": 40} for _ in range(4)
    ]
    places = {ref: (60 + 90 * at, dice.randint(60, 440), dice.choice([0, 90, 37])) for at, ref in enumerate(refs)}
    return document(parts, connections, places, lines, {"joins": joins, "covers": covers})
