"""Edits of a document: what each means, and that whatever is edited reads back or is refused by place."""

from __future__ import annotations

import random
from collections.abc import Callable
from contextlib import suppress

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from projects.circuit.document import Document
from projects.circuit.editing import (
    checked,
    connections,
    facts,
    learners,
    outlines,
    part_types,
    parts,
    pieces,
    pins,
    supplies,
)
from projects.circuit.editing import stages as staging
from projects.circuit.editing.start import start
from projects.circuit.part_types import Circle, Rectangle
from projects.circuit.project import Criterion, Settings, Stage, Supply, Thread
from projects.circuit.project_file import read, write
from projects.circuit.refusal import Refusal
from tests.kits.factories import CASE
from tests.projects.documents import documents


@pytest.fixture
def lantern() -> Document:
    return read(CASE.read_bytes())


def joins(document: Document) -> dict[str, tuple[str, ...]]:
    return {one.name: one.terminals for one in document.project.connections}


# --- Parts --------------------------------------------------------------------------------------------------
def test_a_project_from_nothing_has_a_piece_and_a_cell() -> None:
    document = checked(start("Moon", "front", outlines.rectangle(100, 80), 8, "coin-holder"))
    assert [(part.ref, part.type) for part in document.project.parts] == [("B1", "coin-holder")]
    assert document.project.pieces[0].outline == ((0, 0), (100, 0), (100, 80), (0, 80))


def test_a_new_part_takes_the_next_free_ref_of_its_kind(lantern: Document) -> None:
    grown = checked(parts.add_part(parts.add_part(lantern, "light-red"), "push-button"))
    assert [part.ref for part in grown.project.parts] == ["B1", "L1", "S1", "L2", "S2"]


def test_a_second_cell_is_refused_at_its_place(lantern: Document) -> None:
    with pytest.raises(Refusal, match=r"^project\.parts\[3\]\.type: B2 is a second cell"):
        checked(parts.add_part(lantern, "aaa-pack"))


def test_a_part_goes_with_its_terminals_place_and_lines(lantern: Document) -> None:
    left = checked(parts.remove_part(lantern, "S1"))
    assert joins(left) == {"plus": ("B1.p1", "B1.p2", "L1.plus"), "middle": ("L1.minus",), "minus": ("B1.n1", "B1.n2")}
    assert {place.ref for place in left.layout.places} == {"B1", "L1"}
    assert not any("S1." in line.start + line.end for line in left.layout.lines)


def test_a_renamed_part_keeps_everything_under_its_new_ref(lantern: Document) -> None:
    new = checked(parts.rename_part(lantern, "L1", "Moon"))
    assert joins(new)["plus"] == ("B1.p1", "B1.p2", "Moon.plus")
    assert checked(parts.rename_part(new, "Moon", "L1")) == lantern


@pytest.mark.parametrize("name", ["B1", "1x", "a b", "", "x" * 33, "é"])
def test_a_bad_or_taken_ref_is_refused(lantern: Document, name: str) -> None:
    with pytest.raises(Refusal, match=r"^project\.parts\[1\]\.ref|^layout"):
        checked(parts.rename_part(lantern, "L1", name))


def test_another_type_keeps_the_connections_of_terminals_that_both_have(lantern: Document) -> None:
    assert joins(checked(parts.change_type(lantern, "L1", "light-red"))) == joins(lantern)
    other = checked(parts.change_type(lantern, "L1", "resistor-100"))  # a and b, not plus and minus
    assert joins(other)["plus"] == ("B1.p1", "B1.p2")
    assert not any("L1." in line.start + line.end for line in other.layout.lines)


@pytest.mark.parametrize(
    "edit",
    [
        lambda d: parts.remove_part(d, "X9"),
        lambda d: parts.rename_part(d, "X9", "X8"),
        lambda d: parts.change_type(d, "X9", "light-red"),
        lambda d: parts.change_type(d, "L1", "no-such-type"),
        lambda d: parts.add_part(d, "no-such-type"),
        lambda d: connections.join(d, "B1.p1", "B1.p1"),
        lambda d: connections.join(d, "B1.p1", "L1.nothing"),
        lambda d: connections.take_out(d, "X9.a"),
        lambda d: connections.rename_connection(d, "nope", "x"),
        lambda d: connections.rename_connection(d, "plus", "minus"),
        lambda d: connections.remove_connection(d, "nope"),
        lambda d: pins.use_pin(d, "M9.a1", "output"),
        lambda d: pieces.remove_piece(d, "front"),
        lambda d: pieces.remove_piece(d, "nope"),
        lambda d: pieces.change_piece(d, "front", "front", 70.0),
        lambda d: pieces.add_pieces(d, "front", (outlines.rectangle(50, 50),), 5),
        lambda d: pieces.add_pieces(d, "back", (((0, 0), (50, 50), (50, 0), (0, 50)),), 0),
        lambda d: pieces.add_seam_crossing(d, "front", "front"),
        lambda d: facts.set_title(d, ""),
        lambda d: facts.set_distances(d, 2, 5),
        lambda d: facts.set_thread(d, Thread.model_construct(ohms_per_metre=-1.0)),
        lambda d: facts.set_settings(d, Settings.model_construct(stitch_mm=float("nan"))),
        lambda d: supplies.change_supply(d, 7, Supply.model_construct(name="felt")),
        lambda d: supplies.add_supply(d, Supply.model_construct(name="")),
        lambda d: learners.set_swaps(d, "X9", ["light-red"]),
        lambda d: learners.set_swaps(d, "L1", ["no-such-type"]),
        lambda d: staging.set_stages(d, (Stage.model_construct(name="A"), Stage.model_construct(name="A"))),
        lambda d: part_types.remove_part_type(d, "nope"),
    ],
)
def test_what_makes_no_project_is_refused_with_its_place(
    lantern: Document, edit: Callable[[Document], Document]
) -> None:
    with pytest.raises(Refusal) as refused:
        checked(edit(lantern))
    assert refused.value.place
    assert "allowed" in str(refused.value)


# --- Connections --------------------------------------------------------------------------------------------
def test_tapping_two_terminals_joins_adds_merges_or_takes_out(lantern: Document) -> None:
    bare = start("Moon", "front", outlines.rectangle(100, 80), 8, "coin-holder")
    bare = checked(parts.add_part(parts.add_part(bare, "light-red"), "light-red"))
    new = checked(connections.join(bare, "B1.p1", "L1.plus"))
    assert joins(new) == {"c1": ("B1.p1", "L1.plus")}
    grown = checked(connections.join(new, "L1.plus", "L2.plus"))
    assert joins(grown) == {"c1": ("B1.p1", "L1.plus", "L2.plus")}
    assert joins(checked(connections.join(grown, "B1.p1", "L2.plus"))) == {"c1": ("B1.p1", "L1.plus")}
    assert joins(checked(connections.join(new, "B1.p1", "L1.plus"))) == {}
    two = checked(connections.join(grown, "B1.n1", "L1.minus"))
    merged = checked(connections.join(two, "L1.minus", "L2.plus"))
    assert joins(merged) == {"c2": ("B1.n1", "L1.minus", "B1.p1", "L1.plus", "L2.plus")}


def test_a_renamed_connection_is_renamed_in_its_stage(lantern: Document) -> None:
    staged = staging.set_stages(lantern, (Stage(name="First", connections=("plus",)),))
    new = checked(connections.rename_connection(staged, "plus", "red-side"))
    assert new.project.stages[0].connections == ("red-side",)
    assert checked(connections.remove_connection(new, "red-side")).project.stages[0].connections == ()


def test_a_pin_is_used_for_one_thing_or_for_none(lantern: Document) -> None:
    grown = parts.add_part(lantern, "controller-5")
    used = checked(pins.use_pin(grown, "M1.a1", "fade"))
    assert used.project.pins == {"M1.a1": "fade"}
    assert checked(pins.use_pin(used, "M1.a1", None)).project.pins == {}
    types = parts.known_types(used.project)["controller-5"]
    assert pins.uses_of(types.terminal("a3")) == ("output", "input", "input-pull-up", "analog", "touch")


# --- Fabric -------------------------------------------------------------------------------------------------
def test_a_renamed_piece_keeps_what_lies_on_it(lantern: Document) -> None:
    new = checked(pieces.change_piece(lantern, "front", "moon", 8.0))
    assert {place.piece for place in new.layout.places} == {"moon"}
    assert checked(pieces.change_piece(new, "moon", "front", 8.0)) == lantern


def test_a_piece_goes_with_what_lies_on_it_and_the_parts_stay(lantern: Document) -> None:
    two = checked(pieces.add_pieces(lantern, "back", (outlines.circle(80),), 5))
    left = checked(pieces.remove_piece(pieces.set_facing(two, "front", "back", True), "front"))
    assert left.layout.places == left.layout.lines == ()
    assert left.project.faces == ()
    assert left.project.parts == lantern.project.parts


def test_a_seam_crossing_has_a_half_on_each_piece(lantern: Document) -> None:
    two = pieces.add_pieces(lantern, "back", (outlines.rectangle(100, 100),), 8)
    crossed = checked(pieces.add_seam_crossing(two, "front", "back", "plus"))
    halves = {place.terminal: (place.piece, place.x, place.y) for place in crossed.layout.places if place.ref == "X1"}
    assert halves == {"a": ("front", 156.0, 60.0), "b": ("back", 4.0, 50.0)}
    assert joins(crossed)["plus"] == ("B1.p1", "B1.p2", "L1.plus", "X1.a", "X1.b")


def test_round_outlines_keep_within_a_tenth_of_a_millimetre() -> None:
    for diameter in (5, 20, 140, 1000):
        r = diameter / 2
        ring = outlines.circle(diameter)
        for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
            middle = ((x1 + x2) / 2 - r, (y1 + y2) / 2 - r)
            assert r - 0.101 <= (middle[0] ** 2 + middle[1] ** 2) ** 0.5 <= r + 0.001
    assert outlines.box_of(outlines.rounded(100, 60, 15)) == (0, 0, 100, 60)
    assert outlines.rounded(100, 60, 0) == outlines.rectangle(100, 60)
    assert len(set(outlines.rounded(60, 60, 99))) == len(outlines.rounded(60, 60, 99))


def test_typed_points_are_read_or_the_line_is_named() -> None:
    assert outlines.points_of("1 2\n\n3.5, 4;") == ((1, 2), (3.5, 4))
    with pytest.raises(Refusal, match="line 2 holds"):
        outlines.points_of("1 2\n3 four")


# --- Part types ---------------------------------------------------------------------------------------------
def test_a_catalogue_part_is_copied_relabelled_and_resized(lantern: Document) -> None:
    holder = parts.known_types(lantern.project)["coin-holder"]
    large = part_types.resized(holder, 39, 39)
    assert isinstance(large.body, Circle)
    assert large.body.diameter == 39
    assert (large.terminal("p1").x, large.terminal("p1").y) == (-19.5, -9)
    light = part_types.resized(parts.known_types(lantern.project)["light-red"], 24, 6)
    assert isinstance(light.body, Rectangle)
    assert [(one.x, one.y) for one in light.terminals] == [(-16, 0), (16, 0)]
    own = large.model_copy(update={"type": part_types.fresh_type(lantern.project, "coin-holder")})
    kept = checked(part_types.put_part_type(lantern, own))
    assert kept.project.part_types == (own,)
    assert own.type == "own-coin-holder"
    swapped = checked(parts.change_type(kept, "B1", own.type))
    assert joins(swapped) == joins(lantern)
    with pytest.raises(Refusal, match="is still used by B1"):
        part_types.remove_part_type(swapped, own.type)
    assert checked(part_types.remove_part_type(kept, own.type)) == lantern


def test_a_changed_part_type_loses_only_what_hangs_on_a_lost_terminal(lantern: Document) -> None:
    light = parts.known_types(lantern.project)["light-white"].model_copy(update={"type": "mine"})
    used = checked(parts.change_type(part_types.put_part_type(lantern, light), "L1", "mine"))
    first, second = light.terminals
    renamed = light.model_copy(update={"type": "ours", "terminals": (first, second.model_copy(update={"name": "low"}))})
    new = checked(part_types.put_part_type(used, renamed, "mine"))
    assert [part.type for part in new.project.parts] == ["coin-holder", "ours", "slide-switch"]
    assert joins(new)["plus"] == ("B1.p1", "B1.p2", "L1.plus")
    assert "middle" in joins(new)
    assert joins(new)["middle"] == ("S1.b",)


def test_a_part_type_as_json_is_judged_as_in_a_file() -> None:
    with pytest.raises(Refusal, match=r"^project\.part_types\[0\]\.terminals: no terminal has the role positive"):
        part_types.read_part_type(
            {
                "type": "x",
                "name": "x",
                "body": {"shape": "circle", "diameter": 9},
                "terminals": [{"name": "a", "x": 0, "y": 0}, {"name": "b", "x": 1, "y": 0}],
                "model": {"kind": "led", "saturation_amps": 1e-16, "ideality": 2, "ohms": 1, "max_amps": 0.02},
            }
        )


# --- Stages -------------------------------------------------------------------------------------------------
def test_stages_are_renamed_moved_and_merged(lantern: Document) -> None:
    rows = (Stage(name="A", connections=("plus",)), Stage(name="B", connections=("minus",), look=True), Stage(name="C"))
    assert [one.name for one in staging.move_stage(rows, 0, 1)] == ["B", "A", "C"]
    assert [one.name for one in staging.move_stage(rows, 2, 9)] == ["A", "B", "C"]
    merged = staging.merge_stages(rows, 0)
    assert merged == (Stage(name="A", connections=("plus", "minus"), look=True), Stage(name="C"))
    assert staging.change_stage(rows, 2, "Z", True)[2] == Stage(name="Z", look=True)
    with pytest.raises(Refusal):
        staging.merge_stages(rows, 2)


def test_criteria_follow_the_names_of_their_stages(lantern: Document) -> None:
    old = staging.add_criterion(lantern, Criterion(stage="positive side", text="No loose tail"))
    new = checked(staging.set_stages(old, (Stage(name="Red side"),), {"positive side": "Red side"}))
    assert new.project.criteria == (Criterion(stage="Red side", text="No loose tail"),)
    gone = checked(staging.set_stages(new, (Stage(name="First"), Stage(name="Last"))))
    assert gone.project.criteria == (Criterion(stage="Last", text="No loose tail"),), "what was written is not lost"
    plan = staging.add_criterion(lantern, Criterion(stage="layout", text="A plan that passes"))
    assert checked(staging.set_stages(plan, (Stage(name="Red side"),))).project.criteria == plan.project.criteria


# --- Whatever is edited -------------------------------------------------------------------------------------
def _some_edit(document: Document, rng: random.Random) -> Document:
    """One random edit of a random kind, as a page could ask for it."""
    project = document.project
    types = parts.known_types(project)
    refs = [part.ref for part in project.parts] or ["B1"]
    ends = [f"{p.ref}.{t.name}" for p in project.parts for t in types[p.type].terminals] or ["B1.p1"]
    names = [one.name for one in project.connections] or ["c1"]
    fabric = [piece.name for piece in project.pieces]
    edits: list[Callable[[], Document]] = [
        lambda: parts.add_part(document, rng.choice(list(types))),
        lambda: parts.remove_part(document, rng.choice(refs)),
        lambda: parts.rename_part(document, rng.choice(refs), f"Z{rng.randrange(50)}"),
        lambda: parts.change_type(document, rng.choice(refs), rng.choice(list(types))),
        lambda: connections.join(document, rng.choice(ends), rng.choice(ends)),
        lambda: connections.take_out(document, rng.choice(ends)),
        lambda: connections.rename_connection(document, rng.choice(names), f"n{rng.randrange(9)}"),
        lambda: connections.remove_connection(document, rng.choice(names)),
        lambda: pieces.add_pieces(document, f"p{rng.randrange(9)}", (outlines.rectangle(90, 90),), 5),
        lambda: pieces.remove_piece(document, rng.choice(fabric)),
        lambda: pieces.change_piece(document, rng.choice(fabric), f"q{rng.randrange(9)}", 1.0),
        lambda: pieces.set_facing(document, rng.choice(fabric), rng.choice(fabric), rng.random() < 0.5),
        lambda: pieces.add_seam_crossing(document, rng.choice(fabric), rng.choice(fabric), rng.choice(["", *names])),
        lambda: staging.set_stages(document, staging.move_stage(project.stages, 0, 1)),
    ]
    return rng.choice(edits)()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(documents(), st.integers(0, 2**32))
def test_any_row_of_edits_reads_back_or_is_refused(document: Document, seed: int) -> None:
    rng = random.Random(seed)
    for _ in range(12):
        with suppress(Refusal):
            document = checked(_some_edit(document, rng))
    assert read(write(document)) == document
