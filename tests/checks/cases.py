"""Layout cases as data, in the short form of a project file (`checks.guide.short_form`).

A case has `name`, `base` (a name in `bases.json`), what it changes in the base, and `expect`: every finding as
[rule, level, parts + lines + connections it is about]. A base's `aside` names rules that its plain circuit always
brings up; they count only in the cases that expect them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from checks.findings import Report
from checks.guide.short_form import document_of
from projects.circuit.document import Document

CASES = Path(__file__).parents[1] / "cases"
Case = dict[str, Any]


def all_cases() -> Iterator[tuple[str, Case]]:
    """(id, case) of every case, by file."""
    for path in sorted((CASES / "rules").glob("*.json")):
        for case in json.loads(path.read_text(encoding="utf-8")):
            yield f"{path.stem}: {case['name']}", case


def bases() -> dict[str, Case]:
    found: dict[str, Case] = json.loads((CASES / "bases.json").read_text(encoding="utf-8"))
    return found


def document(case: Case) -> Document:
    """The project file that a case stands for."""
    own = {"name", "base", "expect"}
    return document_of(bases()[case["base"]], {key: value for key, value in case.items() if key not in own})


def said(report: Report, case: Case) -> list[list[Any]]:
    """Findings as this case expects them, sorted."""
    aside = set(bases()[case["base"]].get("aside", ())) - {rule for rule, _, _ in case.get("expect", ())}
    found = (finding for finding in report.findings if finding.rule not in aside)
    return sorted([f.rule, f.level, sorted([*f.parts, *f.lines, *f.connections])] for f in found)


def expected(case: Case) -> list[list[Any]]:
    return sorted([rule, level, sorted(about)] for rule, level, about in case["expect"])
