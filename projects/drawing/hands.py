"""Small pictures of what the hand does: needle, thread and fabric, for the right hand or the left.

Drawn for the right hand, which sews from right to left; the left hand gets the mirror image. There are no
words in them, so that nothing is written backwards.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Literal

from projects.drawing.style import EDGE, INK, PART, PLAIN, Style
from projects.drawing.svg import Element, el, path, text, to_svg

__all__ = ["HEIGHT_MM", "WIDTH_MM", "Hand", "Movement", "draw_movement"]

Hand = Literal["right", "left"]
Movement = Literal["knot", "rim", "running", "tie", "trim", "cover"]
"""knot the thread; three stitches over a rim; running stitch; tie off; trim; sew over a cover."""

WIDTH_MM, HEIGHT_MM = 28.0, 18.0
_THREAD, _HAIR = 0.7, 0.35
_CLOTH = "#f7efdf"  # as the patches of a sheet, so that nobody takes it for the piece itself


def draw_movement(movement: Movement, hand: Hand = "right", *, strands: int = 2, style: Style = PLAIN) -> str:
    """One picture as SVG, 28 × 18 mm; `strands` of thread are knotted together."""
    shapes = _knot(strands, style) if movement == "knot" else _PICTURES[movement](style)
    mirrored = f"matrix(-1 0 0 1 {WIDTH_MM:g} 0)" if hand == "left" else None
    root = el(
        "svg",
        text("title", movement),
        el("g", *shapes, transform=mirrored, fill="none", stroke_linecap="round", stroke_linejoin="round"),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH_MM:g} {HEIGHT_MM:g}",
        width=f"{WIDTH_MM:g}mm",
        height=f"{HEIGHT_MM:g}mm",
        role="img",
        data_movement=movement,
        data_hand=hand,
    )
    return to_svg(root)


# --- what the pictures are made of ---------------------------------------------------------------------------
def _cloth(style: Style, top: float = 1.0, bottom: float = 17.0) -> Element:
    return el(
        "rect",
        x=0.8,
        y=top,
        width=WIDTH_MM - 1.6,
        height=bottom - top,
        rx=1.2,
        fill=style.ink(_CLOTH),
        stroke=style.ink(EDGE),
        stroke_width=_HAIR,
    )


def _thread(d: str, style: Style, width: float = _THREAD) -> Element:
    return el("path", d=d, stroke=style.ink(INK), stroke_width=width)


def _stitches(x: float, y: float, count: int, style: Style, dash: float = 2.6, gap: float = 2.0) -> Element:
    """Stitches of a row that runs to the left from x."""
    starts = [x - i * (dash + gap) for i in range(count)]
    return _thread("".join(path(((at, y), (at - dash, y))) for at in starts), style)


def _needle(x: float, y: float, degrees: float, style: Style, long: float = 12.0) -> Element:
    """A needle whose tip is at (x, y); at 0 degrees it lies to the right of its tip."""
    body = ((0.0, 0.0), (long * 0.75, -0.55), (long, -0.5), (long + 0.5, 0.0), (long, 0.5), (long * 0.75, 0.55))
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    at = [(x + u * cos - v * sin, y + u * sin + v * cos) for u, v in body]
    eye = [(x + u * cos, y + u * sin) for u in (long - 1.9, long - 0.4)]
    return el(
        "g",
        el("path", d=path(at, closed=True), fill=style.ink(PART), stroke=style.ink(INK), stroke_width=_HAIR),
        el("path", d=path(eye), stroke=style.ink(INK), stroke_width=0.4),
    )


def _arrow(x: float, y: float, style: Style, long: float = 5.0) -> Element:
    """An arrow to the left with its tip at (x, y)."""
    d = path(((x + long, y), (x, y))) + path(((x + 1.4, y - 1.0), (x, y), (x + 1.4, y + 1.0)))
    return el("path", d=d, stroke=style.ink(EDGE), stroke_width=0.5)


def _lump(x: float, y: float, style: Style) -> Element:
    """A knot: a dark lump with a turn of thread round it."""
    return el(
        "g",
        el("circle", cx=x, cy=y, r=1.3, fill=style.ink(INK)),
        el(
            "path",
            d=f"M{x - 0.8:g} {y + 0.5:g}Q{x:g} {y - 0.6:g} {x + 0.8:g} {y - 0.5:g}",
            stroke="#ffffff",
            stroke_width=0.3,
        ),
    )


# --- the pictures ----------------------------------------------------------------------------------------------
def _knot(strands: int, style: Style) -> list[Element]:
    """The thread hangs folded in the needle's eye, its ends knotted as one; a single thread has one knot."""
    halves = ["M8.2 3.4C14 2.2 21 4 21.6 9S12 15.4 6 14.2"]
    if strands > 1:
        halves.append("M8.2 3.4C13 4.6 19 5.6 19.4 9S12 13.2 6 14.2")
    if strands > 2:
        halves.append("M8.2 3.4C13.6 3.4 20 4.8 20.5 9S12 14.3 6 14.2")
    loose = ["M8.2 3.4C10.6 5 11.6 6.4 12.4 8.6"] if strands == 1 else []
    tails = ["M6 14.2L2.8 13", "M6 14.2L2.9 15.6"][: 1 if strands == 1 else 2]
    threads = [_thread(d, style, 0.55) for d in (*halves, *loose, *tails)]
    return [_needle(1.2, 9.6, -41.0, style, 10.4), *threads, _lump(6.0, 14.2, style)]


def _rim(style: Style) -> list[Element]:
    """Stitches from the hole over the metal rim, side by side, where the line arrives."""
    x, y, ink = 11.5, 9.8, style.ink(INK)
    ring = [
        el("circle", cx=x, cy=y, r=5.2, fill=style.ink("#ddd6c9"), stroke=ink, stroke_width=0.5),
        el("circle", cx=x, cy=y, r=2.6, fill=style.ink(_CLOTH), stroke=ink, stroke_width=0.4),
    ]
    ways = [(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in (26, 0, -26)]
    over = [path(((x + 1.7 * c, y + 1.7 * s), (x + 6.6 * c, y + 6.6 * s))) for c, s in ways]
    needle = _needle(x - 0.6, y - 0.4, -127.0, style, 9.4)
    lead = _thread("M5.6 2.2C9 1.4 15 1.8 18.2 6.6", style, 0.55)
    return [_cloth(style), *ring, _thread("".join(over), style, 0.9), _stitches(26.0, y, 2, style), lead, needle]


def _running(style: Style) -> list[Element]:
    """Seen from above, the needle in and out of the cloth; below, the same cut through."""
    y = 6.2
    needle = _needle(2.0, y, 0.0, style, 12.0)
    hides = [el("rect", x=x, y=y - 0.9, width=2.2, height=1.8, fill=style.ink(_CLOTH)) for x in (4.4, 8.8)]
    lead = _thread("M13 6.2C15 10.2 17.4 9.4 17.6 6.2", style, 0.55)
    wave = "M2.2 14.4" + "".join(f"q1.15 {-2.6 if i % 2 else 2.6} 2.3 0" for i in range(10))
    side = el("path", d="M1.6 14.4H26.4", stroke=style.ink(EDGE), stroke_width=1.0)
    return [
        _cloth(style, 0.6, 11.2), _stitches(26.6, y, 2, style), lead, needle, *hides, _arrow(8.0, 2.6, style),
        side, _thread(wave, style, 0.45),
    ]  # fmt: skip


def _tie(style: Style) -> list[Element]:
    """Two loops round the last stitch, which lies on them, and the needle through the second."""
    y = 11.0
    loops = "M17.4 11C17.4 14.6 13.6 14.8 13.4 11S16 6.6 15.6 10.8M14.6 11C14.4 14.8 10.4 14.8 10.2 11S9.4 7.2 8.4 5.4"
    return [
        _cloth(style),
        _stitches(26.4, y, 1, style, 3.0),
        _thread(loops, style, 0.55),
        _thread(path(((19.6, y), (8.4, y))), style, 1.0),
        _needle(2.2, 12.4, -62.0, style, 9.8),
        _thread("M8.4 5.4C8 4.4 7.4 3.8 6.6 4.2", style, 0.55),
    ]


def _trim(style: Style) -> list[Element]:
    """Scissors close to the knot: a short tail is left."""
    ink, metal = style.ink(INK), style.ink(PART)
    blades = [((11.0, 7.2), (20.4, 9.6), (20.6, 8.2)), ((11.2, 10.2), (20.2, 7.2), (20.8, 8.6))]
    rings = [(23.6, 11.4), (23.6, 5.4)]
    arms = path(((20.2, 8.7), (22.2, 10.4))) + path(((20.2, 8.1), (22.2, 6.4)))
    return [
        _cloth(style),
        _stitches(6.6, 14.6, 1, style),
        _thread("M8.2 14.6C9 12 10.4 10.4 12 8.8", style, 0.6),
        _thread("M13.2 7.4C14.4 6 16 4.4 18.4 3", style, 0.3),
        _lump(8.4, 14.4, style),
        *(el("path", d=path(blade, closed=True), fill=metal, stroke=ink, stroke_width=_HAIR) for blade in blades),
        el("path", d=arms, stroke=ink, stroke_width=0.9),
        *(el("circle", cx=x, cy=y, r=2.1, stroke=ink, stroke_width=0.7) for x, y in rings),
        el("circle", cx=19.0, cy=8.5, r=0.45, fill=ink),
    ]


def _cover(style: Style) -> list[Element]:
    """A scrap of cloth over one line; the other line floats across it in one long stitch."""
    y, x = 9.0, 14.0
    down = "".join(path(((x, top), (x, top + 2.2))) for top in (1.4, 14.4))
    edge = [
        (x + r * math.cos(math.pi * i / 16), y + r * math.sin(math.pi * i / 16)) for i, r in enumerate([4.8, 4.1] * 16)
    ]
    scrap = el("path", d=path(edge, closed=True), fill="#ffffff", stroke=style.ink(EDGE), stroke_width=0.4)
    tacks = [
        path([(x + r * math.cos(a), y + r * math.sin(a)) for r in (3.6, 5.4)])
        for a in (math.radians(d) for d in (45, 135, 225, 315))
    ]
    return [
        _cloth(style),
        _thread(down, style),
        scrap,
        el("path", d="".join(tacks), stroke=style.ink(EDGE), stroke_width=0.35),
        _thread(path(((20.6, y), (7.4, y))), style, 0.9),
        _stitches(26.6, y, 1, style),
        _needle(1.4, y - 4.6, 22.0, style, 8.0),
        _thread("M8.4 7.2C8.6 8.4 8 8.8 7.4 9", style, 0.55),
    ]


_PICTURES: Mapping[Movement, Callable[[Style], list[Element]]] = {
    "rim": _rim,
    "running": _running,
    "tie": _tie,
    "trim": _trim,
    "cover": _cover,
}
