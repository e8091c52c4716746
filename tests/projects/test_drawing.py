"""The drawing of a layout: what is in the picture, at which size, and that nothing breaks out of it."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, Spot, lay_out
from projects.drawing import Mark, Overlay, Style, connection_labels, draw, draw_all, draw_part
from projects.drawing.guides import still_to_sew
from projects.drawing.labels import line_labels
from projects.drawing.stitches import dashes

SVG = "{http://www.w3.org/2000/svg}"
LANTERN = Path(__file__).parents[1] / "cases" / "lantern-patch.json"


def lantern(**changes: object) -> LaidOut:
    document = Document.model_validate_json(LANTERN.read_bytes())
    return lay_out(document.with_layout(document.layout.model_copy(update=changes)))


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def words(svg: str) -> list[str]:
    return [element.text or "" for element in parsed(svg).iter(f"{SVG}text")]


def stitched(svg: str) -> dict[str, tuple[float, float, float]]:
    """Dash, gap and offset by line name."""
    found = {}
    for group in parsed(svg).iter(f"{SVG}g"):
        for path in group.findall(f"{SVG}path[@stroke-dashoffset]"):
            dash, gap = (float(value) for value in path.attrib["stroke-dasharray"].split())
            found[group.attrib["data-line"]] = (dash, gap, float(path.attrib["stroke-dashoffset"]))
    return found


def places_of(svg: str, attribute: str) -> dict[str, tuple[float, float]]:
    """Middle of the first circle of each element with that attribute."""
    found = {}
    for element in parsed(svg).iter():
        if attribute in element.attrib:
            circle = next(element.iter(f"{SVG}circle"))
            found[element.attrib[attribute]] = (float(circle.get("cx", 0)), float(circle.get("cy", 0)))
    return found


def test_a_piece_is_drawn_at_true_scale() -> None:
    root = parsed(draw(lantern(), piece="front"))
    assert (root.get("width"), root.get("height")) == ("160mm", "120mm")
    assert root.get("viewBox") == "0 0 160 120"
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}title") == "front, seen from the outside"


def test_a_part_that_pokes_out_widens_the_drawing_and_keeps_the_scale() -> None:
    place = lantern().document.layout.places[0]
    root = parsed(draw(lantern(places=(place.model_copy(update={"x": -5.0}),)), piece="front"))
    left, _, width, _ = (float(value) for value in root.attrib["viewBox"].split())
    assert (left, width) == (-20.0, 180.0)
    assert root.get("width") == "180mm"


def test_every_line_shows_its_stitches_and_the_inside_shows_the_ones_between() -> None:
    outside, inside = (stitched(draw(lantern(), piece="front", side=side)) for side in ("outside", "inside"))
    courses = {course.name: course.length_mm for course in lantern().courses}
    assert set(outside) == set(inside) == set(courses) == {"s1", "s2", "s3", "s4", "s5", "s6"}
    for name, length in courses.items():
        dash, gap, offset = outside[name]
        pitch = (dash + gap) / 2
        assert round(length / pitch, 2) == round(length / 5)  # a whole number of stitches of about 5 mm
        assert inside[name] == (dash, gap, pytest.approx(offset + pitch, abs=2e-3))


@pytest.mark.parametrize(("length", "stitches"), [(40, 8), (1, 1), (7.4, 1), (7.6, 2), (600, 120)])
def test_a_line_has_a_whole_number_of_stitches(length: float, stitches: int) -> None:
    found = dashes(length, 5, "outside")
    assert found.stitches == stitches
    assert found.stitches * found.dash == pytest.approx(length)


def test_the_inside_is_mirrored_but_words_are_not() -> None:
    outside, inside = (draw(lantern(), piece="front", side=side) for side in ("outside", "inside"))
    seen = places_of(outside, "data-terminal")
    assert seen["B1.p1"] == (27, 54)
    assert places_of(inside, "data-terminal") == {name: (160 - x, y) for name, (x, y) in seen.items()}
    assert not [element for element in parsed(inside).iter(f"{SVG}text") if "transform" in element.attrib]
    assert not [
        text
        for group in parsed(inside).iter(f"{SVG}g")
        if "transform" in group.attrib
        for text in group.iter(f"{SVG}text")
    ]


def test_a_part_on_the_other_side_is_named_so() -> None:
    assert "B1" in words(draw(lantern(), piece="front"))
    assert "B1 (outside)" in words(draw(lantern(), piece="front", side="inside"))
    place = lantern().document.layout.places[0].model_copy(update={"side": "inside"})
    assert "B1 (inside)" in words(draw(lantern(places=(place,)), piece="front"))


def test_labels_come_from_the_circuit() -> None:
    laid_out = lantern()
    assert connection_labels(laid_out.project) == {"plus": "+", "middle": "1", "minus": "−"}
    assert line_labels(laid_out) == {"s1": "+", "s2": "+", "s3": "+", "s4": "1", "s5": "−", "s6": "−"}
    crossed = laid_out.document.layout.lines[3].model_copy(update={"end": "B1.n1"})
    assert line_labels(lantern(lines=(crossed,))) == {"s4": "?"}


def test_a_label_is_repeated_along_a_long_line() -> None:
    only = [line for line in lantern().document.layout.lines if line.name == "s4"]
    drawn = words(draw(lantern(lines=tuple(only)), piece="front"))
    assert drawn.count("1") == 2
    again = draw(lantern(lines=tuple(only)), piece="front", overlay=Overlay(line_labels={"s4": "7"}))
    assert words(again).count("7") == 2
    assert "7" not in words(draw(lantern(), piece="front", style=Style(labels=False)))


def test_each_kind_of_mark_and_each_state_has_a_shape_of_its_own() -> None:
    kinds = ("stop", "look", "note", "start", "end")
    shapes = set()
    for kind in kinds:
        mark = Mark(Spot("front", 80, 60), kind, "4", "Here")
        root = parsed(draw(lantern(lines=()), piece="front", overlay=Overlay(marks=(mark,))))
        group = next(element for element in root.iter() if element.get("data-finding") == "4")
        assert group.findtext(f"{SVG}title") == "Here"
        assert group.findtext(f"{SVG}text") == "4"
        shapes.add(re.sub(r"[\d.\-]+", "", "".join(element.tag + element.get("d", "") for element in group)))
    assert len(shapes) == len(kinds)
    states = ("plain", "done", "now", "next", "ghost", "wrong")
    grey = Style(greyscale=True)
    pictures = {
        draw(lantern(), piece="front", overlay=Overlay(line_states={"s4": state}), style=grey).replace(state, "")
        for state in states
    }
    assert len(pictures) == len(states)


def test_without_colour_there_are_only_greys() -> None:
    mark = Overlay(marks=(Mark(Spot("front", 80, 60), "stop", "1"),), line_states={"s1": "now", "s2": "wrong"})
    for side in ("outside", "inside"):
        svg = draw(
            lantern(), piece="front", side=side, overlay=mark, style=Style(greyscale=True, grid=True, guides=True)
        )
        for colour in re.findall(r"#[0-9a-f]{6}", svg):
            assert colour[1:3] == colour[3:5] == colour[5:7], colour


def test_nothing_in_a_drawing_is_refused_by_a_strict_policy_or_stands_twice_on_a_page() -> None:
    for svg in (
        *draw_all(lantern(), style=Style(grid=True, guides=True)).values(),
        draw_part(catalogue()["coin-holder"]),
    ):
        for element in parsed(svg).iter():
            assert element.tag.removeprefix(SVG) in {"svg", "g", "path", "circle", "rect", "text", "title"}
            assert not {name for name in element.attrib if name in {"id", "style", "class"} or name.startswith("on")}


HOSTILE = ('"><script>alert(1)</script>', "&amp;<b>", "\x00\x1b\ufffe\ud800", "x" * 500, "{piece}", "")


@pytest.mark.parametrize("label", HOSTILE)
def test_words_that_come_from_people_stay_words(label: str) -> None:
    overlay = Overlay(
        marks=(Mark(Spot("front", 10, 10), "stop", label, label),), line_labels={"s1": label, "none": label}
    )
    svg = draw(lantern(), piece="front", overlay=overlay)
    assert "<script" not in svg
    assert "<b>" not in svg
    parsed(svg)


def test_a_part_type_with_a_hostile_name_is_drawn_with_its_name() -> None:
    part_type = catalogue()["coin-holder"]
    terminal = part_type.terminals[0].model_copy(update={"label": "<&\"'>"})
    svg = draw_part(part_type.model_copy(update={"name": "<script>&", "terminals": (terminal,)}))
    assert "<script" not in svg
    assert words(svg) == ["<&\"'>"]


def test_guides_lead_to_what_is_not_sewn_yet() -> None:
    assert not any(still_to_sew(lantern()).values())
    nothing = still_to_sew(lantern(lines=()))
    assert {name: len(links) for name, links in nothing.items()} == {"plus": 1, "middle": 1, "minus": 1}
    assert nothing["middle"] == (("S1.b", "L1.minus"),) or nothing["middle"] == (("L1.minus", "S1.b"),)
    svg = draw(lantern(lines=()), piece="front", style=Style(guides=True))
    assert {element.get("data-guide") for element in parsed(svg).iter()} - {None} == {"plus", "middle", "minus"}


@pytest.mark.parametrize("part_type", catalogue().values(), ids=lambda part_type: part_type.type)
def test_every_part_of_the_catalogue_can_be_cut_out_at_true_scale(part_type) -> None:  # type: ignore[no-untyped-def]
    root = parsed(draw_part(part_type))
    _, _, width, height = (float(value) for value in root.attrib["viewBox"].split())
    assert (root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm")
    assert len([g for g in root.iter() if g.get("data-terminal")]) == len(part_type.terminals)
    assert [text.text for text in root.iter(f"{SVG}text")] == [t.label or t.name for t in part_type.terminals]


coordinate = st.one_of(st.integers(-200, 400).map(float), st.floats(-10_000, 10_000), st.just(40.0))
where = {"x": coordinate, "y": coordinate}
place = st.fixed_dictionaries(
    {**where, "ref": st.sampled_from(["B1", "L1", "S1"]), "piece": st.sampled_from(["front", "back"])},
    optional={"turn": st.floats(-720, 720), "side": st.sampled_from(["outside", "inside"])},
)
end = st.sampled_from(["B1.p1", "B1.n2", "L1.plus", "L1.minus", "S1.a", "S1.b", "@j1", "@j2"])
via = st.lists(st.tuples(coordinate, coordinate), max_size=4)
drawn_lines = st.lists(
    st.fixed_dictionaries({"from": end, "to": end, "via": via, "piece": st.sampled_from(["front", "back"])}), max_size=6
)
outlines = st.sampled_from(
    [
        [[0, 0], [160, 0], [160, 120], [0, 120]],
        [[0, 0], [100, 0], [100, 40], [60, 40], [60, 50], [100, 50], [100, 90], [0, 90]],
        [[-5000, -5000], [0.5, 0], [3, 4]],
        [[0, 0], [1, 0], [1, 1]],
    ]
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    places=st.lists(place, max_size=3, unique_by=lambda place: place["ref"]),
    lines=drawn_lines,
    joins=st.fixed_dictionaries(where),
    radius=st.floats(0.001, 10_000),
    outline=outlines,
    allowance=st.sampled_from([0.0, 8.0, 400.0]),
    side=st.sampled_from(["outside", "inside"]),
)
def test_no_document_is_too_odd_to_draw(places, lines, joins, radius, outline, allowance, side) -> None:  # type: ignore[no-untyped-def]
    document = Document.model_validate_json(LANTERN.read_bytes()).model_dump(mode="json", by_alias=True)
    piece = {"outline": outline, "seam_allowance": allowance}
    document["project"]["pieces"] = [{"name": "front", **piece}, {"name": "back", **piece}]
    document["layout"] = {
        "places": places,
        "lines": [{"name": f"s{i}", **line} for i, line in enumerate(lines)],
        "joins": [{"name": "j1", "piece": "front", **joins}, {"name": "j2", "piece": "back", "x": 1, "y": 1}],
        "covers": [{"piece": "back", **joins, "radius": radius}],
    }
    laid_out = lay_out(Document.model_validate(document, strict=False))
    states = {f"s{i}": state for i, state in enumerate(("plain", "done", "now", "next", "ghost", "wrong"))}
    marks = tuple(Mark(spot, "stop", "1") for spot in laid_out.spots.values())
    drawn = draw_all(laid_out, side=side, overlay=Overlay(marks, states), style=Style(guides=True))
    assert list(drawn) == ["front", "back"]
    for svg in drawn.values():
        parsed(svg)
        assert "nan" not in svg
        assert "inf" not in svg
