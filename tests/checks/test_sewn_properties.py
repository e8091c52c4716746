"""What must hold of any layout: moving, turning, mirroring change nothing; a new line never parts what is joined."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checks.compare import compare, intent_of
from checks.engine import check
from checks.findings import Report
from checks.sewn import SewnGraph, sew
from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.layout import Cover, Join, Layout, Line, Place
from projects.circuit.part_types import PartType, Polygon
from projects.circuit.project import Piece
from tests.checks.cases import bases, document

ENDS = ["B1.p1", "B1.p2", "B1.n1", "B1.n2", "L1.plus", "L1.minus", "L2.plus", "L2.minus", "S1.a", "S1.b", "@j1", "@j2"]
coordinate = st.integers(10, 190).map(lambda n: n + 0.123)
lines = st.lists(
    st.tuples(
        st.sampled_from(ENDS), st.lists(st.tuples(coordinate, coordinate), max_size=4), st.sampled_from(ENDS)
    ),
    min_size=1,
    max_size=12,
)  # fmt: skip
covers = st.lists(st.tuples(coordinate, coordinate, st.integers(2, 20).map(float)), max_size=3)


def any_document(
    some: list[tuple[str, list[tuple[float, float]], str]], lids: list[tuple[float, float, float]]
) -> Document:
    return document(
        {
            "base": "lamp",
            "parts": {"L2": ["light-red", 120, 40, 30], "S1": ["slide-switch", 120, 150, 77, "inside"]},
            "connections": {"minus": ["L1.minus", "S1.a", "L2.minus"], "end": ["S1.b", "B1.n1", "B1.n2"],
                            "plus": ["B1.p1", "B1.p2", "L1.plus", "L2.plus"]},
            "joins": {"j1": [100, 100], "j2": [150, 60]},
            "lines": {**dict.fromkeys("abcd"), **{f"s{n}": [a, *via, b] for n, (a, via, b) in enumerate(some)}},
            "covers": [list(lid) for lid in lids],
        }
    )  # fmt: skip


documents = st.builds(any_document, lines, covers)


def graph(some: Document) -> SewnGraph:
    return sew(lay_out(some))


def found(report: Report) -> Counter[tuple[object, ...]]:
    assert report.crashed == ()
    return Counter((f.rule, f.parts, f.lines, f.connections, f.terminals) for f in report.findings)


@settings(max_examples=40, deadline=None)
@given(documents, st.sampled_from([0, 90, 180, 270, 37, 211.5]), st.floats(-500, 500), st.floats(-500, 500))
def test_moving_and_turning_a_layout_changes_nothing(some: Document, degrees: float, dx: float, dy: float) -> None:
    turned = moved(some, degrees, dx, dy)
    assert graph(turned).sewn() == graph(some).sewn()
    assert found(check(turned)) == found(check(some))


@settings(max_examples=40, deadline=None)
@given(documents)
def test_mirroring_a_layout_with_its_parts_changes_nothing(some: Document) -> None:
    other = mirrored(some)
    assert graph(other).sewn() == graph(some).sewn()
    own_types = Counter({key: n for key, n in found(check(other)).items() if key[0] != "own-part-type"})
    assert own_types == found(check(some))


@pytest.mark.parametrize("base", bases())
def test_sound_layouts_stay_sound(base: str) -> None:
    some = document({"base": base})
    before = found(check(some))
    assert {finding.level for finding in check(some).findings} <= {"note"}
    for degrees in (45, 123):
        assert found(check(moved(some, degrees, -30, 60))) == before
    after = found(check(mirrored(some)))
    assert Counter({key: n for key, n in after.items() if key[0] != "own-part-type"}) == before


@settings(max_examples=40, deadline=None)
@given(documents)
def test_a_line_more_never_makes_more_components(some: Document) -> None:
    layout = some.layout
    before = None
    for number in range(len(layout.lines) + 1):
        fewer = some.with_layout(layout.model_copy(update={"lines": layout.lines[:number]}))
        sewn = graph(fewer)
        component = {name: sewn.component_of[name] for name in sewn.laid_out.spots}
        after = len(set(component.values()))
        assert before is None or after <= before
        before = after


@settings(max_examples=40, deadline=None)
@given(documents)
def test_every_mismatch_is_an_open_or_a_short(some: Document) -> None:
    """Connections that share a component have a short that leads from each to some other; islands are an open."""
    sewn = graph(some)
    intent = intent_of(sewn.laid_out)
    comparison = compare(sewn, intent)
    shorted = {name for short in comparison.shorts for name in short.connections}
    for nodes in sewn.components:
        nets = {intent.net_of[node] for node in nodes if node in intent.net_of}
        assert len(nets) < 2 or nets <= shorted
    for short in comparison.shorts:
        first, second = short.connections
        assert any({first, second} <= {intent.net_of.get(node) for node in nodes} for nodes in sewn.components)
        assert short.contacts or short.lines or short.between
    opened = {one.connection for one in comparison.opens}
    for connection in some.project.connections:
        islands = {sewn.component_of[terminal] for terminal in connection.terminals}
        assert (len(islands) > 1) == (connection.name in opened)


def moved(some: Document, degrees: float, dx: float, dy: float) -> Document:
    """The whole layout, pieces and all, turned clockwise and moved."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    if degrees % 90 == 0:
        cos, sin = round(cos), round(sin)

    def at(x: float, y: float) -> tuple[float, float]:
        return (x * cos - y * sin + dx, x * sin + y * cos + dy)

    return _mapped(some, at, lambda place: {"turn": place.turn + degrees})


def mirrored(some: Document) -> Document:
    """Left and right exchanged, the parts with their terminals too."""
    types = {part_type.type: part_type for part_type in part_types_of(some.project).values()}
    own = tuple(_mirrored_type(part_type) for part_type in types.values())
    project = some.project.model_copy(update={"part_types": own})
    flipped = _mapped(some.model_copy(update={"project": project}), lambda x, y: (-x, y), lambda p: {"turn": -p.turn})
    return flipped


def _mirrored_type(part_type: PartType) -> PartType:
    terminals = tuple(one.model_copy(update={"x": -one.x}) for one in part_type.terminals)
    body = part_type.body
    if isinstance(body, Polygon):
        body = body.model_copy(update={"points": tuple((-x, y) for x, y in body.points)})
    return part_type.model_copy(update={"terminals": terminals, "body": body})


def _mapped(some: Document, at, turn) -> Document:
    def xy(value: Place | Join | Cover) -> dict[str, float]:
        x, y = at(value.x, value.y)
        return {"x": x, "y": y}

    def line(value: Line) -> Line:
        return value.model_copy(update={"via": tuple(at(*point) for point in value.via)})

    def piece(value: Piece) -> Piece:
        return value.model_copy(update={"outline": tuple(at(*point) for point in value.outline)})

    layout = Layout(
        places=tuple(p.model_copy(update={**xy(p), **({} if p.terminal else turn(p))}) for p in some.layout.places),
        joins=tuple(j.model_copy(update=xy(j)) for j in some.layout.joins),
        lines=tuple(line(one) for one in some.layout.lines),
        covers=tuple(c.model_copy(update=xy(c)) for c in some.layout.covers),
    )
    project = some.project.model_copy(update={"pieces": tuple(piece(one) for one in some.project.pieces)})
    return some.model_copy(update={"project": project, "layout": layout})
