"""The circuit by itself: parts spread out around the controller or the cell, connections as stitched links.

What is joined is drawn, not where it lies on the fabric; so a circuit can be drawn before there is a layout.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import shapely

from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.layout import Layout, Place
from projects.circuit.our_names import called
from projects.circuit.part_types import Cell, Controller
from projects.circuit.project import Piece
from projects.circuit.text import msg
from projects.drawing.cutout import part_box
from projects.drawing.guides import still_to_sew
from projects.drawing.labels import connection_labels
from projects.drawing.part_art import draw_body, draw_eyelet, draw_word, terminal_words
from projects.drawing.style import CLOTH, EDGE, FONT, INK, PLAIN, Style, line_colour
from projects.drawing.svg import Element, el, num, path, text, to_svg
from projects.drawing.view import Box

__all__ = ["PX_PER_MM", "draw_circuit"]

PX_PER_MM = 3.2
"""So large on a screen that a terminal's target of 4 mm radius is 24 px wide (WCAG 2.2, 2.5.8)."""

_TARGET_MM = 4.0
_GAP_MM = 20.0
_MARGIN_MM = 14.0
_BOARD = "board"
_FLAT = 0.62


def draw_circuit(document: Document, *, style: Style = PLAIN, targets: bool = True) -> str:
    """The circuit as an SVG with a viewBox in mm.

    With `targets` each terminal can be tapped and can take the focus, by `data-terminal`; without, it is a picture.
    """
    spread = _spread(document)
    xs = [x + edge for ref, (x, _) in spread.items() for edge in _box(document, ref)[::2]]
    ys = [y + edge for ref, (_, y) in spread.items() for edge in _box(document, ref)[1::2]]
    left, top = min(xs, default=0) - _MARGIN_MM, min(ys, default=0) - _MARGIN_MM
    wide, high = max(xs, default=60) + _MARGIN_MM - left, max(ys, default=30) + _MARGIN_MM - top
    laid_out = _laid_out(document, spread)
    root = el(
        "svg",
        text("title", style.say(msg("The circuit"))),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=" ".join(num(value) for value in (left, top, wide, high)),
        width=num(wide * PX_PER_MM),
        height=num(high * PX_PER_MM),
        role="group" if targets else "img",
        font_family=FONT,
        fill="none",
    )
    cloth = el("rect", x=left, y=top, width=wide, height=high, rx=4, fill=style.ink(CLOTH), stroke=style.ink(EDGE))
    root.append(cloth)
    labels = connection_labels(document.project)
    links = list(_links(laid_out, labels, style))
    root.extend(line for line, _ in links)
    for ref in spread:
        root.append(_part(laid_out, ref, labels, style, targets))
    root.extend(badge for _, badge in links)
    return to_svg(root)


def _box(document: Document, ref: str) -> Box:
    return part_box(part_types_of(document.project)[ref])


def _spread(document: Document) -> dict[str, tuple[float, float]]:
    """Where each part stands: the hub in the middle, the others on an ellipse, near the hub's terminals they join."""
    types = part_types_of(document.project)
    hub = next((ref for kind in (Controller, Cell) for ref, one in types.items() if isinstance(one.model, kind)), None)
    others = [ref for ref in types if ref != hub]
    spread = {} if hub is None else {hub: (0.0, 0.0)}
    if not others:
        return spread
    boxes = {ref: part_box(one) for ref, one in types.items()}
    wide = max(box[2] - box[0] for box in boxes.values())
    high = max(box[3] - box[1] for box in boxes.values())
    around = sum(max(boxes[ref][2] - boxes[ref][0], boxes[ref][3] - boxes[ref][1]) + _GAP_MM for ref in others)
    rx = max(around / (2 * math.pi * math.sqrt((1 + _FLAT**2) / 2)), wide + _GAP_MM)
    ry = max(_FLAT * rx, high + _GAP_MM)
    wanted = _wanted_angles(document, hub, others)
    slots = [2 * math.pi * i / len(others) for i in range(len(others))]
    inner = sorted(others, key=lambda ref: wanted[ref])
    turns = range(len(others))
    best = min(
        turns, key=lambda turn: sum(_apart(wanted[r], slots[(i + turn) % len(slots)]) for i, r in enumerate(inner))
    )
    angles = {ref: slots[(i + best) % len(slots)] for i, ref in enumerate(inner)}
    while True:
        spread |= {ref: (rx * math.cos(angle), ry * math.sin(angle)) for ref, angle in angles.items()}
        if _clear(spread, boxes):
            return spread
        rx, ry = 1.1 * rx, 1.1 * ry  # where the ellipse bends most, parts come closer than their share of it


def _clear(spread: Mapping[str, tuple[float, float]], boxes: Mapping[str, Box]) -> bool:
    """Whether no two parts come closer than their refs need."""
    room = [
        shapely.box(x + boxes[ref][0] - 1, y + boxes[ref][1] - 1, x + boxes[ref][2] + 1, y + boxes[ref][3] + 7)
        for ref, (x, y) in spread.items()
    ]
    pairs = shapely.STRtree(room).query(room, predicate="intersects")
    return bool((pairs[0] == pairs[1]).all())


def _apart(a: float, b: float) -> float:
    return abs(math.remainder(a - b, 2 * math.pi))


def _wanted_angles(document: Document, hub: str | None, others: list[str]) -> Mapping[str, float]:
    """The direction of the hub's terminal that a part joins by the smallest connection; else that of a neighbour."""
    types = part_types_of(document.project)
    wanted: dict[str, float] = {}
    for connection in sorted(document.project.connections, key=lambda one: len(one.terminals)):
        refs = list(dict.fromkeys(terminal.partition(".")[0] for terminal in connection.terminals))
        here = [
            types[hub].terminal(t.partition(".")[2]) for t in connection.terminals if hub and t.startswith(f"{hub}.")
        ]
        if here:
            angle = math.atan2(sum(t.y for t in here), sum(t.x for t in here)) % (2 * math.pi)
        elif known := [wanted[ref] for ref in refs if ref in wanted]:
            angle = known[0]
        else:
            continue
        for ref in refs:
            if ref != hub:
                wanted.setdefault(ref, angle)
    return {ref: wanted.get(ref, math.pi) for ref in others}


def _laid_out(document: Document, spread: Mapping[str, tuple[float, float]]) -> LaidOut:
    """The circuit laid out on a board of its own, so that the links are found as on fabric."""
    board = Piece.model_construct(name=_BOARD, outline=((0, 0), (1, 0), (1, 1)), seam_allowance=0)
    places = tuple(Place.model_construct(ref=ref, piece=_BOARD, x=x, y=y) for ref, (x, y) in spread.items())
    project = document.project.model_copy(update={"pieces": (board,)})
    return lay_out(document.model_copy(update={"project": project, "layout": Layout(places=places)}))


def _links(laid_out: LaidOut, labels: Mapping[str, str], style: Style) -> Iterator[tuple[Element, Element]]:
    """Each link with the badge in its middle that repeats the connection's label."""
    for name, links in still_to_sew(laid_out).items():
        ink = style.ink(line_colour(labels[name]))
        for first, second in links:
            a, b = laid_out.spots[first], laid_out.spots[second]
            d = path(((a.x, a.y), (b.x, b.y)))
            line = el("path", d=d, stroke=ink, stroke_width=0.9, stroke_dasharray="3 1.5", data_link=name)
            x, y = (a.x + b.x) / 2, (a.y + b.y) / 2
            badge = el(
                "g",
                el("circle", cx=x, cy=y, r=2.6, fill=style.ink(CLOTH), stroke=ink, stroke_width=0.4),
                draw_word(labels[name], x, y, 3.2, ink),
                pointer_events="none",
            )
            yield line, badge


def _part(laid_out: LaidOut, ref: str, labels: Mapping[str, str], style: Style, targets: bool) -> Element:
    part_type = laid_out.types[ref]
    place = laid_out.places[ref, None]
    box = part_box(part_type)
    ink = style.ink(INK)
    group = el(
        "g",
        text("title", f"{ref}: {style.say(called(part_type.name))}"),
        *draw_body(part_type, style),
        transform=f"translate({num(place.x)} {num(place.y)})",
        data_part=ref,
    )
    for word in terminal_words(part_type):
        group.append(draw_word(word.words, word.x, word.y, word.size, ink))
    group.append(draw_word(ref, 0, box[3] + 4, 4, ink))
    for terminal in part_type.terminals:
        group.append(draw_eyelet(terminal.x, terminal.y, part_type.terminal_radius, style))
        name = f"{ref}.{terminal.name}"
        connection = laid_out.project.connection_of(name)
        if connection is not None:
            colour = style.ink(line_colour(labels[connection]))
            ring = part_type.terminal_radius + 0.7
            group.append(el("circle", cx=terminal.x, cy=terminal.y, r=ring, stroke=colour, stroke_width=0.8))
        if targets:
            group.append(_target(name, terminal.x, terminal.y, terminal.label or terminal.name, connection, style))
    return group


def _target(name: str, x: float, y: float, label: str, connection: str | None, style: Style) -> Element:
    words = (
        msg("{terminal} ({label}), in {connection}", terminal=name, label=label, connection=connection)
        if connection
        else msg("{terminal} ({label}), free", terminal=name, label=label)
    )
    return el(
        "circle",
        text("title", style.say(words)),
        cx=x,
        cy=y,
        r=_TARGET_MM,
        fill="transparent",
        tabindex="0",
        role="button",
        aria_label=style.say(words),
        aria_pressed="false",
        data_terminal=name,
        data_connection=connection,
        **{"class": "terminal-target"},
    )
