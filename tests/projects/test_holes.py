"""How a terminal is named where a part has more than one hole of the same label."""

import doctest
from pathlib import Path

import pytest

from projects.circuit import text
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.holes import hole_words
from projects.circuit.layout import Side
from projects.circuit.project_file import read

LANTERN = read((Path(__file__).parents[1] / "cases" / "lantern-patch.json").read_bytes())


def with_layout(**changes: object) -> LaidOut:
    return lay_out(LANTERN.model_copy(update={"layout": LANTERN.layout.model_copy(update=changes)}))


def turned(turn: float, side: Side = "outside") -> LaidOut:
    """The lantern patch with its battery holder turned, and perhaps on the inside."""
    changes = {"turn": turn, "side": side}
    places = LANTERN.layout.places
    return with_layout(places=tuple(one.model_copy(update=changes) if one.ref == "B1" else one for one in places))


@pytest.mark.parametrize(
    ("turn", "side", "where"),
    [
        (0, "outside", "upper"),
        (180, "outside", "lower"),
        (90, "outside", "right"),
        (270, "outside", "left"),
        (0, "inside", "upper"),
    ],
)
def test_two_holes_of_one_label_are_told_apart_by_where_they_lie(turn: float, side: Side, where: str) -> None:
    laid_out = turned(turn, side)
    assert str(hole_words(laid_out, "B1.p1")) == f"B1 (+, {where})"
    assert str(hole_words(laid_out, "B1.p2")) != f"B1 (+, {where})"
    assert str(hole_words(laid_out, "L1.plus")) == "L1 (+)"


def test_left_and_right_on_the_inside_are_as_one_sees_them_there() -> None:
    """A part on the inside is drawn as seen from the outside; who sews it looks from the other side."""
    laid_out = turned(90, "inside")
    here, there = laid_out.spots["B1.p1"], laid_out.spots["B1.p2"]
    seen = "left" if here.x > there.x else "right"
    assert str(hole_words(laid_out, "B1.p1")) == f"B1 (+, {seen})"


def test_holes_without_a_place_are_numbered() -> None:
    laid_out = with_layout(places=(), lines=())
    assert str(hole_words(laid_out, "B1.p2")) == "B1 (+, hole 2)"


def test_no_two_holes_of_a_part_are_called_the_same() -> None:
    laid_out = lay_out(LANTERN)
    names = [str(hole_words(laid_out, terminal)) for terminal in laid_out.terminals()]
    assert len(set(names)) == len(names)


def test_examples_in_docstrings() -> None:
    assert doctest.testmod(text).failed == 0
