"""The working circuit of a layout: what shines how brightly in each situation, volts at each hole, hours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext
from django.views.decorators.http import require_safe

from checks.figures import hours, milliamps, volts
from checks.shine import choice_words, full_on, situation_words, working_parts
from checks.summary import PartRow, Span, SummaryRow, summary
from kits.services.access import Person, kit_seen_by, project_for
from kits.services.layouts import document_to_sew
from kits.services.reports import Judged, judge
from kits.views.findings import Picture, pictures
from kits.views.gates import for_joined, for_teachers
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.holes import hole_words
from projects.circuit.text import Message
from projects.drawing import Overlay
from projects.said import say

__all__ = ["kit_working", "project_working"]

_SIGNS = {"dark": "○", "dim": "◔", "lit": "●", "bright": "✸", "on": "●", "off": "○"}


@dataclass(frozen=True)
class ShownPart:
    """How one part works: a sign, a word, its figure, and what an old battery makes of it."""

    sign: str
    word: str
    figure: str
    old: str


@dataclass(frozen=True)
class ShownRow:
    """Situations that look alike."""

    words: str
    parts: tuple[ShownPart, ...]
    battery: str
    hours: str


@dataclass(frozen=True)
class Choice:
    """A situation that can be drawn."""

    number: int
    words: str


@dataclass(frozen=True)
class ShownCircuit:
    """What the panel shows; `chosen` is the situation that is drawn, None where nothing can be solved."""

    rows: tuple[ShownRow, ...]
    refs: tuple[str, ...]
    choices: tuple[Choice, ...]
    chosen: Choice | None
    pictures: tuple[Picture, ...]
    volts: tuple[tuple[str, str], ...]
    all_of_them: bool


@require_safe
@for_joined
def kit_working(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """The circuit of a kit as it is to be sewn."""
    kit = kit_seen_by(person, kit_id)
    back = reverse("kits:kit", args=[kit.pk]) if person.user else reverse("kits:my-findings")
    return _page(request, person, judge(document_to_sew(kit)), str(kit), back)


@require_safe
@for_teachers
def project_working(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """The circuit of a project's example layout."""
    project = project_for(person, project_id)
    back = reverse("projects:page", args=[project.pk])
    return _page(request, person, judge(project.newest().read()), project.title, back)


def _page(request: HttpRequest, person: Person, judged: Judged, title: str, back: str) -> HttpResponse:
    shown = _shown(judged, request.GET.get("situation", ""))
    context = {
        "person": person,
        "shown": shown,
        "title": title,
        "back": back,
        "base": "base.html" if person.user else "kits/learner_base.html",
    }
    return render(request, "kits/working.html", context)


def _shown(judged: Judged, asked: str) -> ShownCircuit:
    laid_out, report = lay_out(judged.document), judged.report
    solved = [one for one in report.situations if one.amps]
    number = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 4 else -1
    situation = solved[number] if 0 <= number < len(solved) else full_on(tuple(solved))
    if situation is None:
        return ShownCircuit((), (), (), None, (), (), report.all_situations)
    choices = tuple(Choice(at, _joined(situation_words(laid_out, one.name))) for at, one in enumerate(solved))
    words = {name: _volts_words(laid_out, name, value) for name, value in situation.volts.items()}
    at_work = list(working_parts(laid_out, situation))
    said = {name: f"{hole}: {value}" for name, (hole, value) in words.items()}
    drawn = pictures(laid_out, Overlay(glows={one.ref: one.share for one in at_work}, terminal_words=said))
    return ShownCircuit(
        tuple(_row(laid_out, row) for row in summary(laid_out, solved)),
        tuple(one.ref for one in at_work),
        choices,
        choices[solved.index(situation)],
        drawn,
        tuple(words.values()),
        report.all_situations,
    )


def _joined(words: list[Message]) -> str:
    return ", ".join(say(one) for one in words)


def _row(laid_out: LaidOut, row: SummaryRow) -> ShownRow:
    battery = _("{amps} mA").format(amps=_span(row.cell_amps, milliamps)) if row.cell_amps else "–"
    lasts = _("at most {hours} h").format(hours=hours(row.hours)) if row.hours is not None else "–"
    words = _joined(choice_words(laid_out, row.choices)) or _("always")
    return ShownRow(words, tuple(_part(part) for part in row.parts), battery, lasts)


def _part(part: PartRow) -> ShownPart:
    words = _words()
    if part.shine in ("on", "off"):
        figure = _("{volts} V").format(volts=_span(part.volts, volts)) if part.volts else ""
        old = ", ".join(words[shine] for shine in part.used_shine if shine != part.shine)
        return ShownPart(_SIGNS[part.shine], words[part.shine], figure, old)
    figure = _("{amps} mA").format(amps=_span(part.amps, milliamps)) if part.shine != "dark" else ""
    old = ""
    if part.used_amps and part.shine != "dark":
        old = ", ".join(words[shine] for shine in part.used_shine)
        old = _("{how}, {amps} mA").format(how=old, amps=_span(part.used_amps, milliamps))
    return ShownPart(_SIGNS[part.shine], words[part.shine], figure, old)


def _words() -> dict[str, str]:
    return {
        "dark": pgettext("light", "dark"),
        "dim": pgettext("light", "dim"),
        "lit": pgettext("light", "lit"),
        "bright": pgettext("light", "too bright"),
        "on": pgettext("part", "works"),
        "off": pgettext("part", "off"),
    }


def _span(span: Span, said: Callable[[float], str]) -> str:
    least, most = said(max(span.least, 0.0)), said(max(span.most, 0.0))
    return least if least == most else f"{least}–{most}"


def _volts_words(laid_out: LaidOut, terminal: str, value: float | None) -> tuple[str, str]:
    """A hole as people read it, and its volts above the battery's minus; no minus sign for a nought."""
    name = say(hole_words(laid_out, terminal))
    return name, f"{round(value, 2) + 0.0:.2f} V" if value is not None else _("not joined to the battery")
