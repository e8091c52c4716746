"""Small helpers to build SVG as an element tree, so that every text and attribute is escaped.

Presentation attributes only, never `style` or `<style>`: a strict Content-Security-Policy refuses those.
No element has an id, so that any number of drawings may stand on one page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from xml.etree import ElementTree

__all__ = ["Element", "el", "fragment", "num", "path", "text", "to_svg"]

Element = ElementTree.Element

# What XML 1.0 cannot hold even when escaped (https://www.w3.org/TR/xml/#charsets).
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def num(value: float) -> str:
    """A number with at most two decimals (0.01 mm), without trailing zeros.

    >>> num(3.10), num(-0.001), num(7)
    ('3.1', '0', '7')
    """
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def clean(value: str) -> str:
    """The text with every character that XML cannot hold replaced."""
    return _NOT_XML.sub("\ufffd", value)


def el(tag: str, *children: Element | None, **attributes: str | float | None) -> Element:
    """An element; `stroke_width=1` becomes `stroke-width="1"`; None is left out, of children too."""
    element = ElementTree.Element(tag)
    for name, value in attributes.items():
        if value is not None:
            element.set(name.replace("_", "-"), clean(value) if isinstance(value, str) else num(value))
    element.extend(child for child in children if child is not None)
    return element


def text(tag: str, words: str, **attributes: str | float | None) -> Element:
    """An element that holds words."""
    element = el(tag, **attributes)
    element.text = clean(words)
    return element


def path(points: Iterable[tuple[float, float]], *, closed: bool = False) -> str:
    """The `d` of a polyline.

    >>> path([(0, 0), (1.5, 2)], closed=True)
    'M0 0L1.5 2Z'
    """
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + ("Z" if closed else "")


def to_svg(root: Element) -> str:
    """The element and what it holds as text."""
    return ElementTree.tostring(root, encoding="unicode")


def fragment(elements: Iterable[Element]) -> str:
    """Elements one after another as text, to stand inside an `<svg>`."""
    return "".join(to_svg(element) for element in elements)
