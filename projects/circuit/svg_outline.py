"""Outlines of pieces from an SVG file: real units, curves as straight edges, nothing fetched, nothing run.

Of the file only shapes are taken over, into a clean tree of our own; that is what the geometry is read from. What could
run, fetch or grow without end is refused by name: document types and entities, scripts, event handlers, links to
anything outside of the file, pictures, and copies by reference.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

from shapely.geometry import LineString
from shapely.geometry import Polygon as Shape
from svgelements import SVG, Arc, CubicBezier, Path, QuadraticBezier
from svgelements import Shape as Drawn

from projects.circuit.base import MAX_COORDINATE
from projects.circuit.editing.outlines import FLAT_MM, Outline, at_origin, edges_of_turn
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import Message, msg

__all__ = ["MAX_POINTS", "MAX_SVG_BYTES", "outlines_of"]

MAX_SVG_BYTES = 512 * 1024
MAX_ELEMENTS = 2000
MAX_POINTS = 2000
"""What an outline of the project file may have."""
MAX_EDGES = 20_000
MAX_PIECES = 50

_SVG = "http://www.w3.org/2000/svg"
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "q": 0.25}
_PX = 25.4 / 96
"""A unit of a drawing without a viewBox (CSS: 96 px to the inch)."""
_LENGTH = re.compile(r"\s*\+?(\d{1,6}(?:\.\d{1,9})?|\.\d{1,9})\s*([A-Za-z]*)\s*")
_SHAPES = {
    "path": ("d",),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "polygon": ("points",),
}
_REFUSED = {"script", "foreignObject", "image", "use", "symbol", "iframe", "audio", "video", "animate", "set", "a"}
_HALF = FLAT_MM / 2
"""Curves become edges within this, and needless points go within this: FLAT_MM in all."""


def outlines_of(data: bytes) -> tuple[Outline, ...]:
    """The outer outlines that an SVG file draws, mm, each with its box at the origin; largest first.

    Closed paths, rectangles, circles, ellipses and polygons count; lines, texts and what is drawn inside another
    outline do not. `width` and `height` of the file must have a unit (mm, cm, in, pt, pc, Q). Raises Refusal.
    """
    root = _parsed(data)
    clean, scale = _clean(root)
    rings = [ring for ring in _rings(clean, scale) if len(ring) > 2]
    shapes = [Shape(ring) for ring in rings]
    for shape in shapes:
        if not shape.is_valid:
            raise _refused("outline", msg("the outline crosses or touches itself"), msg("simple closed outlines"))
    solid = sorted((one for one in zip(shapes, rings, strict=True) if one[0].area > 1), key=lambda one: -one[0].area)
    outer: list[tuple[Shape, Outline]] = []
    for shape, ring in solid:
        if not any(other.covers(shape) for other, _ in outer):
            outer.append((shape, ring))
    if not outer:
        raise _refused("file", msg("it draws no closed outline"), msg("at least one closed path, rectangle or circle"))
    if len(outer) > MAX_PIECES:
        raise _refused("file", msg("it draws {n} outlines", n=len(outer)), msg("at most {n}", n=MAX_PIECES))
    return tuple(_shortened(ring) for _, ring in outer)


def _refused(place: str, wrong: Message, allowed: Message) -> Refusal:
    return Refusal(f"SVG {place}", wrong, allowed)


def _parsed(data: bytes) -> ElementTree.Element:
    if len(data) > MAX_SVG_BYTES:
        raise _refused("file", msg("it is larger than 512 KiB"), msg("the outline alone"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _refused("file", msg("it is not text in UTF-8"), msg("a plain SVG file, not a compressed one")) from None
    low = text.lower()
    for sign, what in (("<!doctype", "document type"), ("<!entity", "entity"), ("<?xml-stylesheet", "style sheet")):
        if sign in low:
            raise _refused("file", msg("it holds a {what}", what=what), msg("a plain SVG file without any"))
    # The parser would believe another encoding that the first line names.
    text = re.sub(r"^\s*<\?xml[^>]*\?>", "", text, count=1)
    try:
        root = ElementTree.fromstring(text)
    except (ElementTree.ParseError, ValueError, RecursionError) as error:
        raise _refused("file", msg("it is not XML: {words}", words=quoted(str(error))), msg("an SVG file")) from None
    if root.tag != f"{{{_SVG}}}svg":
        raise _refused("file", msg("its first element is {tag}", tag=quoted(root.tag)), msg("an SVG file"))
    return root


def _clean(root: ElementTree.Element) -> tuple[str, float]:
    """The shapes alone, as SVG text, and millimetres a unit of it."""
    width, height = _length(root, "width"), _length(root, "height")
    box = root.get("viewBox")
    wide, high = _view_box(box) if box is not None else (width / _PX, height / _PX)
    if abs(width / wide - height / high) > 0.002 * width / wide:
        raise _refused("viewBox", msg("it stretches the drawing"), msg("width and height in the same proportion"))
    out = ElementTree.Element("svg", {"xmlns": _SVG, "width": "1", "height": "1", "viewBox": "0 0 1 1"})
    counted = [0]
    _copy(root, out, counted, depth=0)
    return ElementTree.tostring(out, encoding="unicode"), width / wide


def _length(root: ElementTree.Element, name: str) -> float:
    found = _LENGTH.fullmatch(root.get(name, ""))
    unit = found[2].lower() if found else ""
    if found is None or unit not in _MM or float(found[1]) <= 0:
        wrong = msg("{value} is no real length", value=quoted(root.get(name, "")))
        raise _refused(name, wrong, msg("a length with its unit: {units}", units=listed(_MM)))
    return float(found[1]) * _MM[unit]


def _view_box(text: str) -> tuple[float, float]:
    """Width and height of the box in units of the drawing; where it starts does not matter for an outline."""
    try:
        box = [float(word) for word in text.replace(",", " ").split()]
    except ValueError:
        box = []
    if len(box) != 4 or not all(map(math.isfinite, box)) or box[2] <= 0 or box[3] <= 0:
        raise _refused("viewBox", msg("{value} is no box", value=quoted(text)), msg("left, top, width and height"))
    return box[2], box[3]


def _copy(source: ElementTree.Element, target: ElementTree.Element, counted: list[int], depth: int) -> None:
    """Groups and shapes of `source` into `target`; refuses what does more than draw."""
    if depth > 32:
        raise _refused("file", msg("groups are nested too deep"), msg("at most 32 levels"))
    for element in source:
        if not isinstance(element.tag, str):
            continue  # a comment
        counted[0] += 1
        if counted[0] > MAX_ELEMENTS:
            raise _refused("file", msg("it has too many elements"), msg("at most {n}", n=MAX_ELEMENTS))
        space, _, tag = element.tag.rpartition("}")
        _refuse_active(element, tag)
        if space != f"{{{_SVG}":
            _refuse_beneath(element)
        elif tag == "g" or tag in _SHAPES:
            names = (*_SHAPES.get(tag, ()), "transform")
            kept = {name: element.attrib[name] for name in names if name in element.attrib}
            if any("%" in value for value in kept.values()):
                raise _refused("element", msg("{tag} is measured in percent", tag=tag), msg("numbers"))
            _copy(element, ElementTree.SubElement(target, tag, kept), counted, depth + 1)
        else:
            _refuse_beneath(element)


def _refuse_beneath(element: ElementTree.Element) -> None:
    """What is not copied may not do anything either: a file is refused for a script wherever it stands."""
    for inner in element.iter():
        if isinstance(inner.tag, str):
            _refuse_active(inner, inner.tag.rpartition("}")[2])


def _refuse_active(element: ElementTree.Element, tag: str) -> None:
    if tag in _REFUSED or tag.startswith("animate"):
        raise _refused("element", msg("there is a {tag}", tag=quoted(tag)), msg("shapes and groups alone"))
    for key, value in element.attrib.items():
        name = key.rpartition("}")[2].lower()
        if name.startswith("on"):
            raise _refused("element", msg("{tag} has a script ({name})", tag=tag, name=name), msg("no scripts"))
        if name in ("href", "src") and not value.strip().startswith("#"):
            raise _refused("element", msg("{tag} links to {link}", tag=tag, link=quoted(value)), msg("no links"))
        _refuse_style(value, tag)
    if tag == "style":
        _refuse_style(element.text or "", tag)


def _refuse_style(text: str, tag: str) -> None:
    low = re.sub(r"\s|\\|/\*.*?\*/", "", text.lower())
    outside = any(not found.startswith("#") for found in re.findall(r"url\([\"']?(.?)", low))
    if "@import" in low or "javascript:" in low or outside:
        raise _refused("element", msg("a style of {tag} fetches something", tag=tag), msg("no links"))


def _rings(clean: str, scale: float) -> Iterator[Outline]:
    """Closed rings of every shape, mm."""
    left = MAX_EDGES
    for shape in _shapes(clean):
        for part in shape.as_subpaths():
            ring: list[tuple[float, float]] = []
            segments = list(part)
            closed = bool(segments) and type(segments[-1]).__name__ == "Close"
            for segment in segments:
                for x, y in _points(segment, scale):
                    if not (math.isfinite(x) and math.isfinite(y) and max(abs(x), abs(y)) <= MAX_COORDINATE):
                        raise _refused("outline", msg("a point lies too far out"), msg("at most ten metres"))
                    if not ring or math.dist(ring[-1], (x, y)) > 1e-6:
                        ring.append((x, y))
                if len(ring) > left:
                    raise _refused("outline", msg("it has too many points"), msg("at most {n}", n=MAX_POINTS))
            left -= len(ring)
            if ring and math.dist(ring[0], ring[-1]) <= FLAT_MM:
                closed = True
                ring = ring[:-1] if len(ring) > 1 else ring
            if closed:
                yield tuple(ring)


def _shapes(clean: str) -> list[Path]:
    try:
        drawing = SVG.parse(io.StringIO(clean), reify=True, ppi=96.0)
        return [abs(Path(shape)) for shape in drawing.elements() if isinstance(shape, Drawn)]
    except Exception as error:  # the library names no errors of its own; whatever it meets, the file is at fault
        wrong = msg("a shape cannot be read ({words})", words=quoted(str(error)))
        raise _refused("outline", wrong, msg("paths as SVG 1.1 describes them")) from None


def _points(segment: Any, scale: float) -> Iterator[tuple[float, float]]:
    """Points of a segment after its start, mm; of a move the start itself."""
    if segment.end is None:
        return
    steps = _steps(segment, scale)
    for i in range(1, steps + 1):
        point = segment.end if i == steps else segment.point(i / steps)
        yield float(point[0]) * scale, float(point[1]) * scale


def _steps(segment: Any, scale: float) -> int:
    """How many straight edges stand for a segment within half of FLAT_MM.

    A curve in n equal steps of its parameter is off by at most |second derivative| / (8 n²).
    """
    if isinstance(segment, CubicBezier):
        a, b, c, d = (complex(p) for p in (segment.start, segment.control1, segment.control2, segment.end))
        bend = 6 * max(abs(a - 2 * b + c), abs(b - 2 * c + d)) * scale
        return _count(math.sqrt(bend / (8 * _HALF)))
    if isinstance(segment, QuadraticBezier):
        a, b, c = (complex(p) for p in (segment.start, segment.control, segment.end))
        return _count(math.sqrt(2 * abs(a - 2 * b + c) * scale / (8 * _HALF)))
    if isinstance(segment, Arc):
        radius = max(abs(segment.rx), abs(segment.ry)) * scale
        return _count(edges_of_turn(radius, abs(segment.sweep)) * math.sqrt(FLAT_MM / _HALF))
    return 1


def _count(steps: float) -> int:
    if not math.isfinite(steps) or steps > MAX_EDGES:
        raise _refused("outline", msg("a curve is far too large"), msg("outlines of at most ten metres"))
    return max(1, math.ceil(steps))


def _shortened(ring: Outline) -> Outline:
    """The ring at the origin, without points that lie on the way within half of FLAT_MM."""
    line = LineString((*ring, ring[0])).simplify(_HALF)
    short = tuple((x, y) for x, y, *_ in line.coords)[:-1]
    if len(short) > MAX_POINTS:
        raise _refused("outline", msg("it has {n} points", n=len(short)), msg("at most {n}", n=MAX_POINTS))
    return at_origin(short if len(short) > 2 else ring)
