"""A learner's own circuit beside the project's: what differs, what is allowed."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from projects.circuit.document import Document
from projects.circuit.editing import checked, connections, facts, parts, pieces
from projects.circuit.editing import stages as staging
from projects.circuit.editing.learners import set_learner_may, set_swaps
from projects.circuit.project import LearnerMay, Stage
from projects.circuit.project_file import read
from projects.circuit.refusal import Refusal
from projects.circuit.variation import differences, not_allowed, put_switch, swap, swaps_of, take_switch_out
from tests.kits.factories import CASE

Edit = Callable[[Document], Document]


def lantern(may: LearnerMay = "layout") -> Document:
    document = read(CASE.read_bytes())
    return checked(set_swaps(set_learner_may(document, may), "L1", ["light-red"]))


def same(document: Document) -> Document:
    return document


def red(document: Document) -> Document:
    return swap(document, "L1", "light-red")


def blue(document: Document) -> Document:
    return swap(document, "L1", "light-blue")


def switch(document: Document) -> Document:
    return put_switch(document, "B1.n1")


def more(document: Document) -> Document:
    return parts.add_part(document, "light-red")


def thread(document: Document) -> Document:
    return facts.set_thread(document, document.project.thread.model_copy(update={"strands": 1}))


def fabric(document: Document) -> Document:
    return pieces.change_piece(document, "front", "front", 5)


def freedom(document: Document) -> Document:
    return set_learner_may(document, "nothing")


# What is changed, what it is about, and what each kind of freedom allows.
CASES: list[tuple[Edit, list[tuple[str, str]], tuple[bool, bool, bool, bool]]] = [
    (same, [], (True, True, True, True)),
    (red, [("swapped", "L1")], (False, False, True, True)),
    (blue, [("swapped", "L1")], (False, False, False, True)),
    (
        switch,
        [("part", "S2"), ("connection", "minus"), ("connection", "minus"), ("connection", "minus-S2")],
        (False, False, False, True),
    ),
    (more, [("part", "L2")], (False, False, False, True)),
    (thread, [("facts", "thread")], (False, False, False, False)),
    (fabric, [("piece", "front")], (False, False, False, False)),
]


@pytest.mark.parametrize(("edit", "about", "allowed"), CASES, ids=[case[0].__name__ for case in CASES])
def test_differences_and_what_each_freedom_allows(
    edit: Edit, about: list[tuple[str, str]], allowed: tuple[bool, bool, bool, bool]
) -> None:
    freedoms: tuple[LearnerMay, ...] = ("nothing", "layout", "choose", "all")
    for may, expected in zip(freedoms, allowed, strict=True):
        original = lantern(may)
        own = checked(edit(original))
        assert [(one.kind, one.about) for one in differences(original.project, own.project)] == about
        assert (not not_allowed(original.project, own.project)) is expected, may


def test_a_learner_cannot_give_themselves_freedom() -> None:
    original = lantern("all")
    own = checked(set_swaps(freedom(original), "L1", ["light-blue"]))
    assert [one.about for one in not_allowed(original.project, own.project)] == ["learner_may", "swaps"]


def test_the_layout_is_always_ones_own() -> None:
    original = lantern()
    moved = original.with_layout(original.layout.model_copy(update={"lines": ()}))
    assert differences(original.project, moved.project) == ()


def test_what_may_be_chosen_begins_with_the_teachers_own() -> None:
    assert swaps_of(lantern("choose").project) == {"L1": ("light-white", "light-red")}
    assert swaps_of(lantern("layout").project) == {}


def test_swapping_keeps_lines_and_refuses_other_terminals() -> None:
    original = lantern("choose")
    own = checked(red(original))
    assert own.layout == original.layout
    with pytest.raises(Refusal, match="other terminals"):
        swap(original, "L1", "resistor-100")
    with pytest.raises(Refusal, match="there is no part"):
        swap(original, "L9", "light-red")
    with pytest.raises(Refusal, match="there is no part type"):
        swap(original, "L1", "light-octarine")


def test_a_switch_parts_the_whole_node_from_its_connection() -> None:
    own = checked(switch(lantern("all")))
    found = {one.name: one.terminals for one in own.project.connections}
    assert found["minus"] == ("S1.a", "S2.a")
    assert found["minus-S2"] == ("S2.b", "B1.n1", "B1.n2")
    assert own.layout == lantern("all").layout
    twice = checked(put_switch(own, "S1.a"))
    assert [part.ref for part in twice.project.parts] == ["B1", "L1", "S1", "S2", "S3"]


def test_a_switch_taken_out_again_leaves_the_same_circuit() -> None:
    original = lantern("all")
    back = checked(take_switch_out(checked(switch(original)), "S2"))
    found = {frozenset(one.terminals) for one in back.project.connections}
    assert found == {frozenset(one.terminals) for one in original.project.connections}
    assert back.layout == original.layout


@pytest.mark.parametrize(
    ("terminal", "kind", "words"),
    [
        ("L1.plus", "light-red", "is no switch"),
        ("L1.plus", "nothing", "is no switch"),
        ("X1.a", "slide-switch", "is in no connection"),
    ],
)
def test_where_no_switch_can_go_is_said(terminal: str, kind: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        put_switch(lantern("all"), terminal, kind)


def test_a_switch_needs_something_on_its_other_side() -> None:
    alone = checked(connections.set_connection(lantern("all"), "minus", ["B1.n1", "B1.n2"]))
    with pytest.raises(Refusal, match="joins nothing else"):
        put_switch(alone, "B1.n1")


def test_a_teachers_stage_sews_both_sides_of_the_new_switch() -> None:
    staged = checked(staging.set_stages(lantern("all"), (Stage(name="Minus", connections=("minus",)),)))
    own = checked(switch(staged))
    assert own.project.stages[0].connections == ("minus", "minus-S2")
    assert not not_allowed(staged.project, own.project)
