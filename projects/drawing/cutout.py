"""A part by itself: a cut-out at true scale for paper, and its shapes for the layout page."""

from __future__ import annotations

from projects.circuit.fabric import body_points
from projects.circuit.our_names import called
from projects.circuit.part_types import PartType
from projects.drawing.part_art import draw_body, draw_eyelet, draw_word, terminal_words
from projects.drawing.style import FONT, INK, PLAIN, Style
from projects.drawing.svg import Element, el, fragment, num, text, to_svg
from projects.drawing.view import Box

__all__ = ["draw_part", "part_box", "part_fragment"]


def part_box(part_type: PartType) -> Box:
    """What a part takes up around its origin, terminals included, mm."""
    points, r = list(body_points(part_type)), part_type.terminal_radius
    for terminal in part_type.terminals:
        points += [(terminal.x - r, terminal.y - r), (terminal.x + r, terminal.y + r)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys), max(xs), max(ys))


def draw_part(part_type: PartType, *, style: Style = PLAIN) -> str:
    """One part as an SVG at true scale (1 mm of margin), to cut out or to lay the real part on."""
    left, top, right, bottom = part_box(part_type)
    name = style.say(called(part_type.name))
    root = el(
        "svg",
        text("title", name),
        *_shapes(part_type, style),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=" ".join(num(value) for value in (left - 1, top - 1, right - left + 2, bottom - top + 2)),
        width=f"{num(right - left + 2)}mm",
        height=f"{num(bottom - top + 2)}mm",
        role="img",
        aria_label=name,
        font_family=FONT,
        fill="none",
        data_type=part_type.type,
    )
    for word in terminal_words(part_type) if style.labels else ():
        root.append(draw_word(word.words, word.x, word.y, word.size, style.ink(INK)))
    return to_svg(root)


def part_fragment(part_type: PartType, *, style: Style = PLAIN) -> str:
    """The shapes of a part around its origin, without words, as SVG elements to put inside a `<g>`."""
    return fragment(_shapes(part_type, style))


def _shapes(part_type: PartType, style: Style) -> list[Element]:
    eyelets = (
        draw_eyelet(terminal.x, terminal.y, part_type.terminal_radius, style, terminal.name)
        for terminal in part_type.terminals
    )
    return [*draw_body(part_type, style), *eyelets]
