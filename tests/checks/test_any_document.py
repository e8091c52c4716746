"""Whatever a project file may hold, every rule answers, and no figure is nonsense."""

import json
import re
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.engine import check
from checks.findings import to_json
from checks.rules import RULES
from projects.circuit.document import Document
from tests.checks.cases import document
from tests.projects.documents import documents

POSITIVE = st.floats(1e-12, 1e12)
HOLDER = [
    {"name": "p1", "x": -13, "y": -6, "role": "positive"},
    {"name": "p2", "x": -13, "y": 6, "role": "positive"},
    {"name": "n1", "x": 13, "y": -6, "role": "negative"},
    {"name": "n2", "x": 13, "y": 6, "role": "negative"},
]
ENDS = [{"name": "plus", "x": -8, "y": 0, "role": "positive"}, {"name": "minus", "x": 8, "y": 0, "role": "negative"}]
ODD = re.compile(r"\bnan\b|\binf\b|[0-9]e[+-]?[0-9]|-0\b")
ORDER = [rule.id for rule in RULES]


@st.composite
def lamps(draw: st.DrawFn) -> Document:
    """The sound base `lamp` with any values whatever in its cell, its light or load, and its settings."""
    cell: dict[str, Any] = {"kind": "cell", **{key: draw(POSITIVE) for key in ("volts", "ohms", "mah", "end_volts")}}
    keys = {"led": ("saturation_amps", "ideality", "ohms", "max_amps"), "load": ("ohms", "min_volts")}
    kind = draw(st.sampled_from(sorted(keys)))
    light: dict[str, Any] = {"kind": kind, **{key: draw(POSITIVE) for key in keys[kind]}}
    body = {"shape": "rectangle", "width": 12, "height": 6}
    joined = [["p1", "p2"], ["n1", "n2"]]
    types = [
        {"type": "any-cell", "name": "Any", "body": body, "terminals": HOLDER, "joined": joined, "model": cell},
        {"type": "any-light", "name": "Any", "body": body, "terminals": ENDS, "model": light},
    ]
    limits = {key: draw(POSITIVE) for key in ("dark_amps", "dim_amps", "hours")}
    return document(
        {
            "base": "lamp",
            "part_types": types,
            "parts": {"B1": ["any-cell", 60, 100, 180], "L1": ["any-light", 180, 100]},
            "set": {"settings": limits},
        }
    )


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(documents())
def test_every_rule_answers_on_any_document(any_document: Document) -> None:
    report = check(any_document)
    assert report.crashed == ()
    json.dumps(to_json(report), allow_nan=False)
    found = [ORDER.index(finding.rule) for finding in report.findings]
    assert found == sorted(found)


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(lamps())
def test_figures_are_plain_numbers_whatever_the_values(lamp: Document) -> None:
    report = check(lamp)
    assert report.crashed == ()
    json.dumps(to_json(report), allow_nan=False)
    texts = [str(finding.text) for finding in report.findings]
    assert [text for text in texts if ODD.search(text)] == []
    rules = {finding.rule for finding in report.findings}
    assert not {"never-lit", "dim"} <= rules
    assert not {"over-current", "bright"} <= rules
