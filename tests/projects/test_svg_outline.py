"""Outlines from SVG files: real sizes of good ones, one clear refusal of hostile ones."""

from __future__ import annotations

import math
import time

import pytest
from shapely.geometry import Point, Polygon

from projects.circuit.refusal import Refusal
from projects.circuit.svg_outline import MAX_SVG_BYTES, outlines_of

MM = 'width="160mm" height="120mm" viewBox="0 0 160 120"'


def svg(body: str, size: str = MM, before: str = "") -> bytes:
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"{before}<svg {names} {size}>{body}</svg>".encode()


RECT = '<rect x="3" y="4" width="100" height="50"/>'

# name: file, then width and height of each outline in mm, largest first
GOOD: dict[str, tuple[bytes, list[tuple[float, float]]]] = {
    "a rectangle, moved to the origin": (svg(RECT), [(100, 50)]),
    "centimetres": (svg(RECT, 'width="16cm" height="12cm" viewBox="0 0 160 120"'), [(100, 50)]),
    "inches": (svg(RECT, 'width="2in" height="1.5in" viewBox="0 0 160 120"'), [(31.75, 15.88)]),
    "points": (svg(RECT, 'width="72pt" height="54pt" viewBox="0 0 160 120"'), [(15.88, 7.94)]),
    "no viewBox: 96 units to the inch": (
        svg('<rect width="96" height="48"/>', 'width="9cm" height="9cm"'),
        [(25.4, 12.7)],
    ),
    "a viewBox that starts elsewhere": (svg(RECT, 'width="80mm" height="60mm" viewBox="-9 7 160 120"'), [(50, 25)]),
    "groups and turns": (svg(f'<g transform="rotate(90)"><g transform="scale(2)">{RECT}</g></g>'), [(100, 200)]),
    "rounded corners": (svg('<rect width="100" height="50" rx="10"/>'), [(100, 50)]),
    "a circle": (svg('<circle cx="80" cy="60" r="40"/>'), [(80, 80)]),
    "an ellipse": (svg('<ellipse cx="80" cy="60" rx="40" ry="20"/>'), [(80, 40)]),
    "a polygon": (svg('<polygon points="0,0 60,0 30,40"/>'), [(60, 40)]),
    "two pieces in one path": (svg('<path d="M0 0h30v30h-30z m50 0h20v20h-20z"/>'), [(30, 30), (20, 20)]),
    "a hole is no piece": (svg('<path d="M0 0h90v90h-90z M10 10h20v20h-20z"/>'), [(90, 90)]),
    "a path that closes by itself": (svg('<path d="M0 0 H40 V40 H0 L0 0"/>'), [(40, 40)]),
    "an open path beside it": (svg(f'{RECT}<path d="M0 0 L9 9 L9 0"/>'), [(100, 50)]),
    "words and notes are left out": (svg(f"<title>a</title><desc>b</desc><text>c</text><!-- d -->{RECT}"), [(100, 50)]),
    "definitions are left out": (svg(f'<defs><rect width="150" height="110"/></defs>{RECT}'), [(100, 50)]),
    "elements of an editor": (
        svg(f'<e:view xmlns:e="urn:e" e:zoom="2"/><g e:label="x" xmlns:e="urn:e">{RECT}</g>'),
        [(100, 50)],
    ),
    "a style that only paints": (svg(f"<style>rect{{fill:#fff;stroke:url(#g)}}</style>{RECT}"), [(100, 50)]),
    "a byte order mark and a first line": (
        svg(RECT, before='\ufeff<?xml version="1.0" encoding="UTF-8"?>'),
        [(100, 50)],
    ),
}


@pytest.mark.parametrize("name", GOOD)
def test_good_files_have_their_real_size(name: str) -> None:
    data, sizes = GOOD[name]
    found = []
    for outline in outlines_of(data):
        xs, ys = zip(*outline, strict=True)
        assert (min(xs), min(ys)) == (0, 0)
        found.append((max(xs), max(ys)))
    assert found == [pytest.approx(size, abs=0.02) for size in sizes]


HOSTILE: dict[str, bytes] = {
    "empty": b"",
    "no XML": b"hello",
    "another XML": b"<html/>",
    "no name space": b'<svg width="9mm" height="9mm"><rect width="9" height="9"/></svg>',
    "UTF-16": svg(RECT).decode().encode("utf-16"),
    "compressed": b"\x1f\x8b\x08\x00" + bytes(60),
    "a document type": svg(RECT, before="<!DOCTYPE svg>"),
    "an entity": svg("&a;", before='<!DOCTYPE svg [<!ENTITY a "b">]>'),
    "entities without end": svg(
        "&d;", before='<!DOCTYPE s [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;"><!ENTITY d "&b;&b;&b;">]>'
    ),
    "a file from the disk": svg("&x;", before='<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]>'),
    "a document type in small letters": svg(RECT, before="<!doctype svg>"),
    "a style sheet from elsewhere": svg(RECT, before='<?xml-stylesheet href="http://x/a.css"?>'),
    "a script": svg(f"{RECT}<script>alert(1)</script>"),
    "a script in definitions": svg(f"{RECT}<defs><script href='#a'/></defs>"),
    "a script in a foreign element": svg(f'{RECT}<e:x xmlns:e="urn:e"><script/></e:x>'),
    "a handler": svg('<rect width="9" height="9" onload="a()"/>'),
    "a handler of a group": svg(f'<g onclick="a()">{RECT}</g>'),
    "a link": svg(f'<a href="http://x/">{RECT}</a>'),
    "a picture from elsewhere": svg(f'{RECT}<image href="http://x/a.png"/>'),
    "a picture in the file": svg(f'{RECT}<image xlink:href="data:image/png;base64,AA"/>'),
    "copies by reference": svg(f'<g id="a">{RECT}</g><use href="#a"/>'),
    "a link on a shape": svg('<rect width="9" height="9" xlink:href="http://x/"/>'),
    "a style that fetches": svg(f"<style>@import url(http://x/)</style>{RECT}"),
    "a filter that fetches": svg('<rect width="9" height="9" style="filter:url(http://x/f.svg#a)"/>'),
    "foreign content": svg(f"<foreignObject><p/></foreignObject>{RECT}"),
    "moving pictures": svg(f'{RECT}<animateMotion dur="1s"/>'),
    "pixels": svg(RECT, 'width="160px" height="120px"'),
    "no unit": svg(RECT, 'width="160" height="120" viewBox="0 0 160 120"'),
    "percent": svg(RECT, 'width="100%" height="100%" viewBox="0 0 160 120"'),
    "no size": svg(RECT, 'viewBox="0 0 160 120"'),
    "no room": svg(RECT, 'width="0mm" height="9mm"'),
    "stretched": svg(RECT, 'width="160mm" height="160mm" viewBox="0 0 160 120"'),
    "a box without a number": svg(RECT, 'width="160mm" height="120mm" viewBox="0 0 nan 120"'),
    "a shape in percent": svg('<rect width="50%" height="50%"/>'),
    "nothing closed": svg('<path d="M0 0L9 9"/>'),
    "nothing at all": svg(""),
    "crossing itself": svg('<polygon points="0,0 90,90 90,0 0,90"/>'),
    "far out": svg('<path d="M0 0 L 1e999 0 L 9 9z"/>'),
    "scaled far out": svg('<rect width="9" height="9" transform="scale(1e300)"/>'),
    "too large a curve": svg('<path d="M0 0 C 1e15 0 0 1e15 9 9z"/>'),
    "groups without end": svg("<g>" * 60 + RECT + "</g>" * 60),
    "elements without end": svg(RECT * 2500),
    "points without end": svg('<path d="' + "M0 0L1 1 2 0z" * 8000 + '"/>'),
    "too many points": svg(
        '<path d="M'
        + "L".join(
            f"{(80 + 9 * (i % 2)) * math.cos(i / 400):.3f} {(80 + 9 * (i % 2)) * math.sin(i / 400):.3f}"
            for i in range(2500)
        )
        + 'z"/>'
    ),
    "too large": b" " * (MAX_SVG_BYTES + 1),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_refused_on_one_line_and_at_once(name: str) -> None:
    begun = time.process_time()
    with pytest.raises(Refusal) as refused:
        outlines_of(HOSTILE[name])
    assert "\n" not in str(refused.value)
    assert str(refused.value).startswith("SVG ")
    assert time.process_time() - begun < 10  # endless would be, not merely slow


@pytest.mark.parametrize("radius", [2.0, 10.0, 55.0])
def test_curves_keep_within_a_tenth_of_a_millimetre(radius: float) -> None:
    """A circle as arcs, and as four cubic curves (within 0.03 % of it: 4/3 tan(π/8))."""
    k = radius * 4 / 3 * math.tan(math.pi / 8)
    r = radius
    arcs = f'<path d="M{-r} 0 A{r} {r} 0 0 1 {r} 0 A{r} {r} 0 0 1 {-r} 0z"/>'
    cubics = (
        f'<path d="M{-r} 0 C{-r} {-k} {-k} {-r} 0 {-r} C{k} {-r} {r} {-k} {r} 0'
        f' C{r} {k} {k} {r} 0 {r} C{-k} {r} {-r} {k} {-r} 0z"/>'
    )
    truth = Point(r, r).buffer(r, quad_segs=2000)
    for body in (arcs, cubics):
        (outline,) = outlines_of(svg(body))
        assert Polygon(outline).exterior.hausdorff_distance(truth.exterior) < 0.1 + 0.0003 * r + 0.02
        assert len(outline) < 200
