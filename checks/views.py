"""The guide, open to everyone: what each rule looks at, and how to mend what it finds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from checks.findings import Finding, Level
from checks.guide import Example, GuidePage, page, pages
from projects.circuit.text import Message, msg
from projects.said import say

__all__ = ["guide", "guide_page"]

LEVELS: tuple[tuple[Level, Message, Message], ...] = (
    ("stop", msg("Put this right"), msg("Do not sew before this is put right.")),
    ("look", msg("Look here"), msg("It may work. Look at it twice.")),
    ("note", msg("Good to know"), msg("Nothing is wrong. You should know it.")),
)


@dataclass(frozen=True)
class Section:
    """All pages of one level."""

    level: Level
    heading: Message
    about: Message
    pages: tuple[GuidePage, ...]


@dataclass(frozen=True)
class Shown:
    """One example as the page shows it."""

    heading: Message
    text: Message
    drawings: tuple[SafeString, ...]
    findings: tuple[Finding, ...]


@require_safe
def guide(request: HttpRequest) -> HttpResponse:
    """All rules, by level."""
    sections = [
        Section(level, heading, about, tuple(one for one in pages() if one.level == level))
        for level, heading, about in LEVELS
    ]
    return render(request, "checks/guide.html", {"sections": sections})


@require_safe
def guide_page(request: HttpRequest, rule: str) -> HttpResponse:
    """One rule: why, wrong, right, how to mend."""
    try:
        found = page(rule)
    except KeyError as error:
        raise Http404 from error
    level = next(heading for level, heading, _ in LEVELS if level == found.level)
    return render(request, "checks/guide_page.html", {"page": found, "level": level, "examples": list(_shown(found))})


def _shown(found: GuidePage) -> Iterator[Shown]:
    for heading, text, example in (
        (msg("Wrong"), found.wrong, found.wrong_example),
        (msg("Right"), found.right, found.right_example),
    ):
        yield Shown(heading, text, _drawings(example), example.findings)


def _drawings(example: Example) -> tuple[SafeString, ...]:
    # The drawing is built as an element tree that escapes every text; nothing in it is raw.
    return tuple(mark_safe(svg) for svg in example.drawings(say).values())
