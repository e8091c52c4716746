"""Layout cases as data: a short form of a project file, each on a base that it changes.

A case has `name`, `base` (a name in `bases.json`), what it changes in the base, and `expect`: every finding as
[rule, level, parts + lines + connections it is about]. A base's `aside` names rules that its plain circuit always
brings up; they count only in the cases that expect them. In the short form:

* `pieces`: name → [width, height, seam allowance];
* `parts`: ref → [type, x, y, turn, side, piece], or [type] without a place, or [type, {terminal: [x, y, piece]}];
* `connections`: name → terminals; `pins`: terminal → use;
* `joins`: name → [x, y, piece]; `lines`: name → [from, [x, y] …, to], with the piece at the end if it is not `front`;
* `covers`: [x, y, radius, piece] …; `part_types`: as in the file; `set`: other keys of the project.

What maps names is merged name by name into the base's; null takes a name out.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from checks.findings import Report
from projects.circuit.document import Document
from projects.circuit.project_file import read

CASES = Path(__file__).parents[1] / "cases"
Case = dict[str, Any]
_MAPS = ("pieces", "parts", "connections", "pins", "joins", "lines", "set")
_LISTS = ("covers", "part_types")


def all_cases() -> Iterator[tuple[str, Case]]:
    """(id, case) of every case, by file."""
    for path in sorted((CASES / "rules").glob("*.json")):
        for case in json.loads(path.read_text(encoding="utf-8")):
            yield f"{path.stem}: {case['name']}", case


def bases() -> dict[str, Case]:
    found: dict[str, Case] = json.loads((CASES / "bases.json").read_text(encoding="utf-8"))
    return found


def document(case: Case) -> Document:
    """The project file that a case stands for, read as any file is."""
    return read(json.dumps(_file(_merged(case))).encode())


def said(report: Report, case: Case) -> list[list[Any]]:
    """Findings as this case expects them, sorted."""
    aside = set(bases()[case["base"]].get("aside", ())) - {rule for rule, _, _ in case.get("expect", ())}
    found = (finding for finding in report.findings if finding.rule not in aside)
    return sorted([f.rule, f.level, sorted([*f.parts, *f.lines, *f.connections])] for f in found)


def expected(case: Case) -> list[list[Any]]:
    return sorted([rule, level, sorted(about)] for rule, level, about in case["expect"])


def _merged(case: Case) -> Case:
    merged: Case = dict(bases()[case["base"]])
    unknown = set(case) - {"name", "base", "expect", *_MAPS, *_LISTS}
    assert not unknown, f"unknown keys {unknown}"
    for key in _MAPS:
        both = {**merged.get(key, {}), **case.get(key, {})}
        merged[key] = {name: value for name, value in both.items() if value is not None}
    for key in _LISTS:
        merged[key] = case.get(key, merged.get(key, []))
    return merged


def _file(case: Case) -> dict[str, Any]:
    places = [place for ref, part in case["parts"].items() for place in _places(ref, part)]
    return {
        "format": "tieoff/1",
        "project": {
            "title": "Case",
            "pieces": [
                {"name": name, "outline": [[0, 0], [w, 0], [w, h], [0, h]], "seam_allowance": allowance}
                for name, (w, h, allowance) in case["pieces"].items()
            ],
            "parts": [{"ref": ref, "type": part[0]} for ref, part in case["parts"].items()],
            "connections": [{"name": name, "terminals": ends} for name, ends in case["connections"].items()],
            "pins": case["pins"],
            "part_types": case["part_types"],
            **case["set"],
        },
        "layout": {
            "places": places,
            "joins": [
                {"name": name, "x": at[0], "y": at[1], "piece": at[2] if len(at) > 2 else "front"}
                for name, at in case["joins"].items()
            ],
            "lines": [_line(name, list(line)) for name, line in case["lines"].items()],
            "covers": [
                {"x": at[0], "y": at[1], "radius": at[2], "piece": at[3] if len(at) > 3 else "front"}
                for at in case["covers"]
            ],
        },
    }


def _places(ref: str, part: list[Any]) -> Iterator[dict[str, Any]]:
    if len(part) > 1 and isinstance(part[1], dict):
        for terminal, (x, y, piece) in part[1].items():
            yield {"ref": ref, "terminal": terminal, "piece": piece, "x": x, "y": y}
    elif len(part) > 1:
        _, x, y, turn, side, piece = [*part, *[0, "outside", "front"][len(part) - 3 :]]
        yield {"ref": ref, "piece": piece, "x": x, "y": y, "turn": turn, "side": side}


def _line(name: str, line: list[Any]) -> dict[str, Any]:
    piece = "front" if "." in line[-1] or "@" in line[-1] else line.pop()
    return {"name": name, "piece": piece, "from": line[0], "to": line[-1], "via": line[1:-1]}
