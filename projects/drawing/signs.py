"""The sign on a part that says what it does: generic shapes, told apart by form alone."""

from __future__ import annotations

import math
from collections.abc import Callable

from projects.circuit.part_types import (
    Cell,
    Circle,
    Controller,
    Led,
    Link,
    Load,
    Pad,
    PartType,
    Resistor,
    Sensor,
    Switch,
)
from projects.drawing.style import INK, PALE, Style, part_tint
from projects.drawing.svg import Element, el, path

__all__ = ["draw_sign"]


def draw_sign(part_type: PartType, w: float, h: float, style: Style) -> list[Element]:
    """The sign of what the part does, around its origin, for a body of half width w and half height h (mm)."""
    model, scale = part_type.model, min(w, h)
    tint, ink = style.ink(part_tint(part_type.colour)), style.ink(INK)
    if isinstance(model, Cell):
        return _cell(part_type, w, h, ink, style.ink(PALE))
    if isinstance(model, Led) or (isinstance(model, Load) and part_type.type.startswith("light")):
        return _light(scale, tint, ink)
    if isinstance(model, Switch):
        return _switch(part_type, model, w, scale, ink)
    if isinstance(model, Controller):
        return _controller(w, h, style)
    draw: dict[type, Callable[[float, str], list[Element]]] = {
        Load: _motor if "motor" in part_type.type else _sound,
        Sensor: _warmth if "temperature" in part_type.type else _sensor,
        Resistor: _resistor,
        Pad: _pad,
        Link: _link,
    }
    # Between two terminals of a small part there is room for a small sign only.
    return draw[type(model)](scale * 0.8 if len(part_type.terminals) > 1 else scale, ink)


def _cell(part_type: PartType, w: float, h: float, ink: str, pale: str) -> list[Element]:
    if isinstance(part_type.body, Circle):
        r = w * 0.5
        clip = ((-r * 0.5, -w * 0.93), (-r * 0.35, -r * 0.9), (r * 0.35, -r * 0.9), (r * 0.5, -w * 0.93))
        return [
            el("circle", r=r, fill="none", stroke=pale, stroke_width=0.4, stroke_dasharray="2 1"),
            el("path", d=path(clip), fill="none", stroke=pale, stroke_width=0.5),
        ]
    if max(w, h) < 1.6 * min(w, h):
        return _boxed_coin(part_type, w, h, ink, pale)
    long, across = max(w, h), min(w, h)
    bars = []
    for side in (-0.5, 0.5):
        x, y, bw, bh = -long * 0.62, (side - 0.36) * across, long * 1.24, across * 0.72
        x, y, bw, bh = (x, y, bw, bh) if w >= h else (y, x, bh, bw)
        bars.append(
            el("rect", x=x, y=y, width=bw, height=bh, rx=across * 0.12, fill="none", stroke=pale, stroke_width=0.5)
        )
    return bars


def _boxed_coin(part_type: PartType, w: float, h: float, ink: str, pale: str) -> list[Element]:
    """A coin cell in a box; beside it the slider where the holder has a switch."""
    r = min(w, h) * 0.62
    coin = el("circle", r=r, fill="none", stroke=pale, stroke_width=0.4, stroke_dasharray="2 1")
    if "switch" not in part_type.type:
        return [coin]
    y = -h + 0.8
    slot = el("rect", x=-3, y=y, width=6, height=2.4, rx=0.3, fill="none", stroke=ink, stroke_width=0.4)
    return [coin, slot, el("rect", x=-3, y=y, width=2.8, height=2.4, rx=0.3, fill=ink)]


def _light(scale: float, tint: str, ink: str) -> list[Element]:
    r = scale * 0.42
    rays = ""
    for i in range(8):
        cos, sin = math.cos(math.pi * i / 4), math.sin(math.pi * i / 4)
        rays += path(((1.35 * r * cos, 1.35 * r * sin), (2.0 * r * cos, 2.0 * r * sin)))
    return [
        el("circle", r=r, fill=tint, stroke=ink, stroke_width=0.4),
        el("path", d=rays, stroke=ink, stroke_width=0.35, stroke_linecap="round"),
    ]


def _switch(part_type: PartType, model: Switch, w: float, scale: float, ink: str) -> list[Element]:
    if "snap" in part_type.type:
        return [el("circle", r=scale * f, fill="none", stroke=ink, stroke_width=0.4) for f in (0.3, 0.15)]
    if "tilt" in part_type.type:
        long = w * 0.5
        return [
            el(
                "rect",
                x=-long,
                y=-scale * 0.4,
                width=2 * long,
                height=scale * 0.8,
                rx=scale * 0.4,
                fill="none",
                stroke=ink,
                stroke_width=0.4,
            ),
            el("circle", cx=-long + scale * 0.45, r=scale * 0.3, fill=ink),
        ]
    if model.momentary:
        return [
            el("circle", r=scale * 0.62, fill="none", stroke=ink, stroke_width=0.4),
            el("circle", r=scale * 0.4, fill=ink),
        ]
    long = min(w * 0.5, scale * 1.4)
    slot = el(
        "rect",
        x=-long,
        y=-scale * 0.35,
        width=2 * long,
        height=scale * 0.7,
        rx=0.3,
        fill="none",
        stroke=ink,
        stroke_width=0.4,
    )
    return [slot, el("rect", x=-long, y=-scale * 0.35, width=long * 0.9, height=scale * 0.7, rx=0.3, fill=ink)]


def _controller(w: float, h: float, style: Style) -> list[Element]:
    """A chip in the middle, with a notch that tells the board's upper side when it is turned."""
    ink, side = style.ink(INK), min(w, h) * 0.3
    legs = ""
    for i in (-0.6, 0.0, 0.6):
        for sign in (-1, 1):
            legs += path(((sign * side, i * side), (sign * side * 1.25, i * side)))
    notch = f"M{-side * 0.3:.2f} {-side:.2f}A{side * 0.3:.2f} {side * 0.3:.2f} 0 0 0 {side * 0.3:.2f} {-side:.2f}"
    return [
        el("path", d=legs, stroke=ink, stroke_width=0.4),
        el(
            "rect",
            x=-side,
            y=-side,
            width=2 * side,
            height=2 * side,
            rx=0.4,
            fill=style.ink("#e4e2de"),
            stroke=ink,
            stroke_width=0.4,
        ),
        el("path", d=notch, fill="none", stroke=ink, stroke_width=0.4),
    ]


def _sound(scale: float, ink: str) -> list[Element]:
    horn = ((-0.6, -0.2), (-0.3, -0.2), (0.0, -0.5), (0.0, 0.5), (-0.3, 0.2), (-0.6, 0.2))
    waves = "".join(
        f"M{0.2 * scale + r:.2f} {-r:.2f}A{1.4 * r:.2f} {1.4 * r:.2f} 0 0 1 {0.2 * scale + r:.2f} {r:.2f}"
        for r in (0.15 * scale, 0.32 * scale)
    )
    return [
        el("path", d=path(((x * scale, y * scale) for x, y in horn), closed=True), fill=ink),
        el("path", d=waves, fill="none", stroke=ink, stroke_width=0.4, stroke_linecap="round"),
    ]


def _motor(scale: float, ink: str) -> list[Element]:
    r = scale * 0.55
    weight = f"M0 0L{r:.2f} 0A{r:.2f} {r:.2f} 0 0 1 0 {r:.2f}Z"
    return [el("circle", r=r, fill="none", stroke=ink, stroke_width=0.4), el("path", d=weight, fill=ink)]


def _sensor(scale: float, ink: str) -> list[Element]:
    r = scale * 0.4
    arrows = ""
    for shift in (-0.28, 0.28):
        tip = ((shift - 0.25) * scale, (-shift - 0.25) * scale)
        tail = (tip[0] - 0.45 * scale, tip[1] - 0.45 * scale)
        arrows += path((tail, tip)) + path(((tip[0] - 0.22 * scale, tip[1]), tip, (tip[0], tip[1] - 0.22 * scale)))
    return [
        el("circle", cx=scale * 0.25, cy=scale * 0.25, r=r, fill="none", stroke=ink, stroke_width=0.4),
        el("path", d=arrows, fill="none", stroke=ink, stroke_width=0.35, stroke_linecap="round"),
    ]


def _warmth(scale: float, ink: str) -> list[Element]:
    """A tube with a bulb, lying."""
    r, long, wide = scale * 0.38, scale * 1.2, scale * 0.36
    tube = el(
        "rect",
        x=-0.3 * scale,
        y=-wide / 2,
        width=long,
        height=wide,
        rx=wide / 2,
        fill="none",
        stroke=ink,
        stroke_width=0.4,
    )
    return [tube, el("circle", cx=-0.6 * scale, r=r, fill=ink)]


def _resistor(scale: float, ink: str) -> list[Element]:
    w, h = scale * 0.8, scale * 0.35
    lead = path(((-w * 1.5, 0), (-w, 0))) + path(((w, 0), (w * 1.5, 0)))
    return [
        el("path", d=lead, stroke=ink, stroke_width=0.4),
        el("rect", x=-w, y=-h, width=2 * w, height=2 * h, fill="none", stroke=ink, stroke_width=0.5),
    ]


def _pad(scale: float, ink: str) -> list[Element]:
    return [el("circle", r=scale * f, fill="none", stroke=ink, stroke_width=0.35) for f in (0.85, 0.68)]


def _link(scale: float, ink: str) -> list[Element]:
    return [el("path", d=path(((-scale * 0.4, 0), (scale * 0.4, 0))), stroke=ink, stroke_width=0.4)]
