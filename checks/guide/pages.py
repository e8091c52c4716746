"""Guide pages as values. A rule's docstring has its title, then `Why:`, `Wrong:`, `Right:` and `How to mend:`."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Literal

from checks.engine import check
from checks.findings import Finding, Level
from checks.guide.short_form import Short, document_of
from checks.rules import RULES, Rule
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.text import Message
from projects.drawing import Mark, Overlay, Style, draw_all

__all__ = ["Example", "GuidePage", "page", "pages"]

_HERE = Path(__file__).parent
_FONT_MM = 4.4
"""Larger than on a plan: the examples are shown small."""

_HEADINGS = ("Why", "Wrong", "Right", "How to mend")


@dataclass(frozen=True)
class Example:
    """A small layout that shows a rule. `findings`: what the rule itself says of it; nothing where it is right."""

    document: Document
    findings: tuple[Finding, ...]

    def drawings(self, say: Callable[[Message], str] = str) -> Mapping[str, str]:
        """Each piece as an SVG, by name, marked where the rule marks; `say` translates."""
        marks = tuple(
            Mark(spot, finding.level, "", say(finding.text)) for finding in self.findings for spot in finding.at
        )
        return draw_all(lay_out(self.document), overlay=Overlay(marks=marks), style=Style(say=say, font_mm=_FONT_MM))


@dataclass(frozen=True)
class GuidePage:
    """What the guide says of one rule; texts are Messages, as a learner reads them."""

    rule: str
    level: Level
    title: Message
    why: Message
    wrong: Message
    right: Message
    mend: Message

    @cached_property
    def wrong_example(self) -> Example:
        return _example(self.rule, "wrong")

    @cached_property
    def right_example(self) -> Example:
        return _example(self.rule, "right")


@cache
def pages() -> tuple[GuidePage, ...]:
    """All pages, in the order of the rules."""
    return tuple(_page(rule) for rule in RULES)


def page(rule_id: str) -> GuidePage:
    """The page of a rule; KeyError where there is no such rule."""
    for found in pages():
        if found.rule == rule_id:
            return found
    raise KeyError(rule_id)


def _page(rule: Rule) -> GuidePage:
    title, *rest = (" ".join(paragraph.split()) for paragraph in rule.page.strip().split("\n\n"))
    said = dict(paragraph.split(": ", 1) for paragraph in rest)
    why, wrong, right, mend = (Message(_sentence(said[heading])) for heading in _HEADINGS)
    return GuidePage(rule.id, rule.level, Message(title), why, wrong, right, mend)


def _sentence(text: str) -> str:
    """With a capital, as it stands below a heading and no more after a colon."""
    return text[0].upper() + text[1:]


@cache
def _example(rule_id: str, which: Literal["wrong", "right"]) -> Example:
    short: Short = json.loads((_HERE / "examples" / f"{rule_id}.json").read_text(encoding="utf-8"))
    bases: Short = json.loads((_HERE / "bases.json").read_text(encoding="utf-8"))
    document = document_of(bases[short["base"]], short[which])
    own = tuple(finding for finding in check(document).findings if finding.rule == rule_id)
    return Example(document, own)
