"""The circuit by itself: every terminal can be tapped, nothing lies on anything, links join what the diagram joins."""

from __future__ import annotations

from xml.etree import ElementTree

import networkx as nx
import pytest
import shapely
from hypothesis import HealthCheck, given, settings

from kits.demo.examples import PROJECTS, examples
from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.editing import parts
from projects.drawing.circuit import draw_circuit
from projects.drawing.cutout import part_box
from tests.projects.documents import documents

SVG = "{http://www.w3.org/2000/svg}"


def drawn(document: Document, **options: bool) -> ElementTree.Element:
    return ElementTree.fromstring(draw_circuit(document, **options))


@pytest.mark.parametrize("name", PROJECTS)
def test_each_terminal_is_one_target_that_says_where_it_belongs(name: str) -> None:
    document = examples()[name]
    root = drawn(document)
    targets = {one.get("data-terminal"): one.get("data-connection") for one in root.iter(f"{SVG}circle")}
    targets.pop(None)
    types = parts.known_types(document.project)
    ends = [f"{p.ref}.{t.name}" for p in document.project.parts for t in types[p.type].terminals]
    assert targets == {end: document.project.connection_of(end) for end in ends}
    assert not any(one.get("data-terminal") for one in drawn(document, targets=False).iter())


@pytest.mark.parametrize("name", PROJECTS)
def test_links_join_each_connection_and_nothing_else(name: str) -> None:
    document = examples()[name]
    links: dict[str, int] = {}
    for one in drawn(document).iter(f"{SVG}path"):
        if connection := one.get("data-link"):
            links[connection] = links.get(connection, 0) + 1
    for connection in document.project.connections:
        graph: nx.Graph[str] = nx.Graph()
        graph.add_nodes_from(connection.terminals)
        for part in document.project.parts:
            for group in parts.known_types(document.project)[part.type].groups():
                nx.add_path(graph, [t for t in (f"{part.ref}.{n}" for n in group) if t in graph])
        assert links.get(connection.name, 0) == nx.number_connected_components(graph) - 1


def test_no_part_lies_on_another_however_many_there_are() -> None:
    document = examples()["firefly-jar"]
    for name in list(catalogue())[3:] * 2:
        document = parts.add_part(document, name)
        boxes = []
        for one in drawn(document).iter(f"{SVG}g"):
            if ref := one.get("data-part"):
                x, y = map(float, one.get("transform", "")[len("translate(") : -1].split())
                kind = next(part.type for part in document.project.parts if part.ref == ref)
                left, top, right, bottom = part_box(catalogue()[kind])
                boxes.append(shapely.box(x + left, y + top, x + right, y + bottom))
        assert len(boxes) == len(document.project.parts)
        assert shapely.union_all(boxes).area == pytest.approx(sum(box.area for box in boxes))


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(documents())
def test_any_circuit_is_drawn_without_style_or_script(document: Document) -> None:
    text = draw_circuit(document)
    root = ElementTree.fromstring(text)
    assert "nan" not in root.get("viewBox", "nan")
    assert not any("style" in one.attrib or one.tag in (f"{SVG}style", f"{SVG}script") for one in root.iter())
