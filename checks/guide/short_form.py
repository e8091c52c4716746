"""A short form of a project file, for examples and cases kept as data: a base, and what is changed in it.

* `pieces`: name → [width, height, seam allowance];
* `parts`: ref → [type, x, y, turn, side, piece], or [type] without a place, or [type, {terminal: [x, y, piece]}];
* `connections`: name → terminals; `pins`: terminal → use;
* `joins`: name → [x, y, piece]; `lines`: name → [from, [x, y] …, to], with the piece at the end if it is not `front`;
* `covers`: [x, y, radius, piece] …; `part_types`: as in the file; `set`: other keys of the project.

What maps names is merged name by name into the base's; null takes a name out. Lists replace the base's.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from projects.circuit.document import Document
from projects.circuit.project_file import read

__all__ = ["KEYS", "Short", "document_of"]

Short = Mapping[str, Any]
"""JSON values in the short form; only this module looks inside."""

_MAPS = ("pieces", "parts", "connections", "pins", "joins", "lines", "set")
_LISTS = ("covers", "part_types")
KEYS = frozenset((*_MAPS, *_LISTS))


def document_of(base: Short, changes: Short) -> Document:
    """The project file that a base with changes stands for, read as any file is.

    Raises KeyError for a key that the short form does not have, Refusal for what no project file may say.
    """
    unknown = set(changes) - KEYS
    if unknown:
        raise KeyError(f"The short form has no keys {sorted(unknown)}.")
    return read(json.dumps(_file(_merged(base, changes)), ensure_ascii=False).encode())


def _merged(base: Short, changes: Short) -> dict[str, Any]:
    merged: dict[str, Any] = {}
    for key in _MAPS:
        both = {**base.get(key, {}), **changes.get(key, {})}
        merged[key] = {name: value for name, value in both.items() if value is not None}
    for key in _LISTS:
        merged[key] = changes.get(key, base.get(key, []))
    return merged


def _file(case: Short) -> dict[str, Any]:
    project = {
        "title": "Example",
        "pieces": [
            {"name": name, "outline": [[0, 0], [w, 0], [w, h], [0, h]], "seam_allowance": allowance}
            for name, (w, h, allowance) in case["pieces"].items()
        ],
        "parts": [{"ref": ref, "type": part[0]} for ref, part in case["parts"].items()],
        "connections": [{"name": name, "terminals": ends} for name, ends in case["connections"].items()],
        "pins": case["pins"],
        "part_types": case["part_types"],
        **case["set"],
    }
    layout = {
        "places": [place for ref, part in case["parts"].items() for place in _places(ref, part)],
        "joins": [{"name": name, "x": at[0], "y": at[1], "piece": _piece(at, 2)} for name, at in case["joins"].items()],
        "lines": [_line(name, list(line)) for name, line in case["lines"].items()],
        "covers": [{"x": at[0], "y": at[1], "radius": at[2], "piece": _piece(at, 3)} for at in case["covers"]],
    }
    return {"format": "tieoff/1", "project": project, "layout": layout}


def _piece(values: list[Any], at: int) -> str:
    return str(values[at]) if len(values) > at else "front"


def _places(ref: str, part: list[Any]) -> Iterator[dict[str, Any]]:
    if len(part) > 1 and isinstance(part[1], dict):
        for terminal, (x, y, piece) in part[1].items():
            yield {"ref": ref, "terminal": terminal, "piece": piece, "x": x, "y": y}
    elif len(part) > 1:
        usual = {"turn": 0, "side": "outside", "piece": "front"}
        given = dict(zip(("x", "y", *usual), part[1:], strict=False))
        yield {"ref": ref, **usual, **given}


def _line(name: str, line: list[Any]) -> dict[str, Any]:
    piece = line.pop() if len(line) > 2 and isinstance(line[-2], str) else "front"
    return {"name": name, "piece": piece, "from": line[0], "to": line[-1], "via": line[1:-1]}
