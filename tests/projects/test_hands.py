"""Pictures of hand movements: drawn for both hands, real mirror images, without words."""

from xml.etree import ElementTree

import pytest

from projects.drawing.hands import HEIGHT_MM, WIDTH_MM, Movement, draw_movement
from projects.drawing.style import Style

MOVEMENTS: tuple[Movement, ...] = ("knot", "rim", "running", "tie", "trim", "cover")
SVG = "{http://www.w3.org/2000/svg}"


def shapes(svg: str) -> list[str]:
    """Everything drawn but the transform that mirrors it."""
    group = ElementTree.fromstring(svg).find(f"{SVG}g")
    assert group is not None
    return [ElementTree.tostring(child, encoding="unicode") for child in group]


@pytest.mark.parametrize("movement", MOVEMENTS)
def test_the_left_hand_gets_the_mirror_image(movement: Movement) -> None:
    right, left = draw_movement(movement, "right"), draw_movement(movement, "left")
    assert shapes(right) == shapes(left)
    group = ElementTree.fromstring(left).find(f"{SVG}g")
    assert group is not None
    # x becomes width − x, y stays: the middle of the picture is where it was.
    assert group.get("transform") == f"matrix(-1 0 0 1 {WIDTH_MM:g} 0)"
    assert f'viewBox="0 0 {WIDTH_MM:g} {HEIGHT_MM:g}"' in left
    assert "transform" not in right


@pytest.mark.parametrize("movement", MOVEMENTS)
def test_a_picture_has_no_words_that_could_stand_backwards(movement: Movement) -> None:
    assert f"{SVG}text" not in {
        element.tag for element in ElementTree.fromstring(draw_movement(movement, "left")).iter()
    }


def test_movements_differ_and_a_single_thread_is_knotted_otherwise() -> None:
    drawn = [shapes(draw_movement(movement)) for movement in MOVEMENTS]
    assert len({str(one) for one in drawn}) == len(MOVEMENTS)
    assert len({str(shapes(draw_movement("knot", strands=strands))) for strands in (1, 2, 3)}) == 3


def test_without_colour_every_ink_is_grey() -> None:
    for movement in MOVEMENTS:
        for element in ElementTree.fromstring(draw_movement(movement, style=Style(greyscale=True))).iter():
            for name in ("fill", "stroke"):
                ink = element.get(name, "none")
                assert ink == "none" or ink[1:3] == ink[3:5] == ink[5:7], ink
