"""“I sewed it differently”: redraw the line, see what is truly sewn, keep it or unpick it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.forms.sewing import ResewnForm
from kits.plan.differently import sewn_differently
from kits.plan.words import place_words
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help
from kits.services.layouts import NotNow
from kits.services.sewing import Sewing, read_sewing
from kits.services.sewn_otherwise import Otherwise, keep_otherwise, lines_at_hand, look_at, sew_again
from kits.views.findings import ShownFinding, pictures
from kits.views.gates import for_learners
from kits.views.redraw_data import redraw_data
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.refusal import Refusal
from projects.drawing import Mark, Overlay
from projects.said import say

__all__ = ["my_otherwise"]

FAULTS_FIRST = 2


@require_http_methods(["GET", "HEAD", "POST"])
@for_learners
def my_otherwise(request: HttpRequest, person: Person) -> HttpResponse:
    """Ask which line and how; then look; then keep it, or take it out."""
    assert person.kit is not None
    sewing = read_sewing(person.kit)
    if sewing is None or not sewing.state.sewing_begun:
        return redirect("kits:my-kit")
    lines = lines_at_hand(sewing)
    asked = (request.POST if request.method == "POST" else request.GET).get("line", "")
    if asked not in lines:
        context = {"person": person, "lines": [(name, _line_words(sewing, name)) for name in lines]}
        return render(request, "kits/sewn_otherwise_lines.html", context, status=400 if request.POST else 200)
    if request.method != "POST":
        return _page(request, person, sewing, _form(sewing, asked))
    if request.POST.get("action") == "unpick":
        sew_again(person.kit, asked, person)
        messages.success(request, _("Unpick it. Then sew it as your plan says."))
        return redirect("kits:my-sewing")
    return _posted(request, person, sewing, _form(sewing, asked, request))


def _posted(request: HttpRequest, person: Person, sewing: Sewing, form: ResewnForm) -> HttpResponse:
    assert person.kit is not None
    if not form.is_valid():
        return _page(request, person, sewing, form, status=400)
    try:
        if request.POST.get("action") == "keep":
            keep_otherwise(person.kit, form.resewn, person)
            messages.success(request, _("Your plan now shows what you sewed. Your teacher looks at it."))
            return redirect("kits:my-kit")
        if request.POST.get("action") == "help":
            about = _("I sewed line {line} differently").format(line=form.line.name)
            ask_for_help(person.kit, person, about)
            return redirect("kits:my-sewing")
        otherwise = look_at(sewing, form.resewn)
    except Refusal as refusal:
        form.add_error(None, say(refusal.wrong))
        return _page(request, person, sewing, form, status=400)
    except NotNow as refusal:
        messages.warning(request, str(refusal))
        return redirect("kits:my-sewing")
    return _page(request, person, sewing, form, otherwise)


def _form(sewing: Sewing, line: str, request: HttpRequest | None = None) -> ResewnForm:
    laid_out = lay_out(sewing.document)
    planned = next(one for one in sewing.document.layout.lines if one.name == line)
    places = [name for name, spot in laid_out.spots.items() if spot.piece == planned.piece]
    places += [f"@{name}" for name, spot in laid_out.joins.items() if spot.piece == planned.piece]
    choices = [(name, say(place_words(laid_out, name))) for name in places]
    return ResewnForm(planned, choices, request.POST if request is not None else None)


def _page(
    request: HttpRequest,
    person: Person,
    sewing: Sewing,
    form: ResewnForm,
    otherwise: Otherwise | None = None,
    status: int = 200,
) -> HttpResponse:
    laid_out = lay_out(otherwise.document if otherwise is not None else sewing.document)
    found = otherwise.report.findings if otherwise is not None else ()
    every = [ShownFinding(str(number), finding, None) for number, finding in enumerate(found, 1)]
    faults = every[:FAULTS_FIRST]  # one wrong line sets off many; two say enough to take it out
    overlay = _overlay(sewing, form, otherwise, faults)
    document = otherwise.document if otherwise is not None else _drawn_so_far(sewing, form)
    context = {
        "person": person,
        "form": form,
        "line": form.line.name,
        "planned": _line_words(sewing, form.line.name),
        "otherwise": otherwise,
        "faults": faults,
        "more_faults": every[FAULTS_FIRST:],
        "pictures": [one for one in pictures(laid_out, overlay) if one.piece == form.line.piece],
        "redraw": redraw_data(
            document,
            form.line.name,
            overlay.marks,
            seen=otherwise is not None,
            typed=form.is_bound and form["way"].value() != "drawn",
        ),
        "size": _size(laid_out, form.line.piece),
    }
    return render(request, "kits/sewn_otherwise.html", context, status=status)


def _drawn_so_far(sewing: Sewing, form: ResewnForm) -> Document:
    """The plan with what was drawn; as it is where nothing was, or nothing that could be."""
    if not form.is_valid():
        return sewing.document
    drawn = form.resewn
    try:
        return sewn_differently(sewing.document, drawn.line, drawn.via, start=drawn.start, end=drawn.end)
    except Refusal:
        return sewing.document


def _overlay(sewing: Sewing, form: ResewnForm, otherwise: Otherwise | None, faults: list[ShownFinding]) -> Overlay:
    wrong = otherwise is not None and not otherwise.may_stay
    states = {**sewing.progress.line_states, form.line.name: "wrong" if wrong else "now"}
    marks = [Mark(spot, one.finding.level, one.number, one.words) for one in faults for spot in one.finding.at]
    return Overlay(marks=tuple(marks), line_states=states)  # type: ignore[arg-type]


def _line_words(sewing: Sewing, name: str) -> str:
    laid_out = lay_out(sewing.document)
    line = next(one for one in sewing.document.layout.lines if one.name == name)
    start, end = (say(place_words(laid_out, end)) for end in (line.start, line.end))
    return _("line {line}: {start} to {end}").format(line=name, start=start, end=end)


def _size(laid_out: LaidOut, piece: str) -> str:
    """Width and height of the piece in cm, so that a bend can be given in the same."""
    xs, ys = zip(*laid_out.pieces[piece].outline, strict=True)
    return _("{width} cm wide, {height} cm high").format(width=f"{max(xs) / 10:g}", height=f"{max(ys) / 10:g}")
