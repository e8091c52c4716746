"""The class board: against a bare view of the same rows, its queries, and how it grows with the class.

Run by itself with `python -m tests.bench board`.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable

from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.test import Client, RequestFactory
from django.urls import reverse
from django.utils.html import escape

from kits.models import Event, Kit, Workshop
from kits.progress import BOARD_KINDS
from kits.services.accept_sound import accept_sound
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help
from kits.services.give_example import give_example
from kits.services.stage_ticks import tick_stage
from kits.views.board import board, board_rows
from tests.bench.measure import queries_of, seconds_of
from tests.kits.factories import make_user, make_workshop

__all__ = ["measure", "sewing_class"]

LEARNERS = 40
TIMES_BARE = 5.0
QUERIES = 6
ROUNDS = 25


def measure() -> list[tuple[str, float, float, str]]:
    """Median of the ratios of page and bare view, taken in turns."""
    owner = make_user("bench-board")
    classes = {size: sewing_class(owner, size) for size in (1, 10, 20, LEARNERS, 80)}
    page = {size: _asks_for(owner, board, found) for size, found in classes.items()}
    bare = _asks_for(owner, _bare_view, classes[LEARNERS])
    client = Client()
    client.force_login(owner)
    ratios = []
    for _ in range(ROUNDS):
        ratios.append(seconds_of(page[LEARNERS]) / seconds_of(bare))
    one, forty = (
        queries_of(lambda size=size: client.get(reverse("kits:board", args=[classes[size].pk])))
        for size in (1, LEARNERS)
    )
    return [
        (f"board of {LEARNERS} against a bare view", statistics.median(ratios), TIMES_BARE, "times"),
        (f"queries of a board of {LEARNERS}", forty, QUERIES, "queries"),
        ("more queries than a board of 1", abs(forty - one), 0, "queries"),
        ("queries of a poll without news", _queries_of_quiet_poll(owner, classes[LEARNERS]), 1, "queries"),
        ("growth of the board, 10 to 80 learners", _exponent(page), 1.2, "exponent"),
    ]


def sewing_class(owner: User, size: int) -> Workshop:
    """A class in the middle of sewing: each kit accepted, ticked up to a stage, some waiting for help."""
    workshop = make_workshop(
        owner, kits=size, names=tuple(f"Learner {n}" for n in range(size)), title=f"Class of {size}"
    )
    person, kits = Person(user=owner), list(workshop.kits.all())
    give_example(workshop, kits, person)
    accept_sound(workshop, kits, person)
    for at, kit in enumerate(workshop.kits.all()):
        for row in kit.stages[: at % (len(kit.stages) + 1)]:
            tick_stage(kit, row["name"], person)
        if at % 8 == 0:
            ask_for_help(kit, Person(kit=kit))
    return workshop


def _asks_for(owner: User, view: Callable[..., HttpResponseBase], workshop: Workshop) -> Callable[[], object]:
    """One call of a view, as the middleware hands it on."""
    request = RequestFactory().get("/")
    request.user = owner

    def ask() -> None:
        assert view(request, workshop_id=workshop.pk).status_code == 200

    return ask


def _bare_view(request: HttpRequest, workshop_id: int) -> HttpResponse:
    """The floor: the same tables read, the same rows and marks written, as one string without templates or rights."""
    kits = Kit.objects.filter(workshop=workshop_id).values_list("pk", "number", "stages", "learners__display_name")
    events = Event.objects.filter(workshop=workshop_id, kind__in=BOARD_KINDS)
    seen = set(events.order_by("pk").values_list("kit_id", "kind", "stage", "at"))
    done = {(kit, stage) for kit, kind, stage, _at in seen if kind == "signed-off"}
    return HttpResponse("".join(_bare_row(done, *kit) for kit in kits))


def _bare_row(done: set[tuple[int, str]], pk: int, number: int, stages: list[dict[str, str]], name: str) -> str:
    ticked = '<td class="cell"><span class="cell-sign cell-done">done</span></td>'
    empty = '<td class="cell"><span class="cell-sign cell-to-do"><span class="visually-hidden">to do</span></span></td>'
    cells = "".join(ticked if (pk, row["name"]) in done else empty for row in stages)
    return (
        f'<tr><td><input type="checkbox" name="kits" value="{pk}" id="kit-{pk}" aria-labelledby="to-{pk}"></td>'
        f'<th scope="row"><a id="to-{pk}" href="/kits/{pk}/"><strong>{number}</strong> {escape(name)}</a></th>'
        f'<td class="here-cell"><button class="here" id="here-{pk}" data-board-post formaction="/attendance/" '
        f'name="away" value="{pk}" aria-pressed="true" aria-label="{escape(name)}: here">✓</button></td>'
        f'<td><span class="phase phase-sewing">sewing</span></td><td><span class="pace pace-fine">'
        f'<span class="pace-mark">fine</span><br><span class="soft">needs 20–30 min</span></span></td>{cells}</tr>'
    )


def _queries_of_quiet_poll(owner: User, workshop: Workshop) -> int:
    """Of the view alone: whom the session belongs to is the middleware's to find out."""
    newest = Event.objects.filter(workshop=workshop).latest("pk").pk
    request = RequestFactory().get("/", {"since": newest})
    request.user = owner

    def ask() -> None:
        assert board_rows(request, workshop_id=workshop.pk).status_code == 204

    return queries_of(ask)


def _exponent(page: dict[int, Callable[[], object]]) -> float:
    """Slope of log time against log size, by least squares, of the best of a few turns each."""
    sizes = (10, 20, LEARNERS, 80)
    best = {size: min(seconds_of(page[size]) for _ in range(7)) for size in sizes}
    logs = [(math.log(size), math.log(best[size])) for size in sizes]
    mean_x, mean_y = (statistics.fmean(values) for values in zip(*logs, strict=True))
    return sum((x - mean_x) * (y - mean_y) for x, y in logs) / sum((x - mean_x) ** 2 for x, _ in logs)
