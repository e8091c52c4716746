"""Setting a workshop up, step by step: what is there, and what is missing."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from django.db.models import Count, Max, Q
from django.utils import timezone
from django.utils.formats import date_format

from kits.models import PrintJob, Workshop
from kits.services.packing_list import packing_list
from kits.services.session_plan import plan_sessions
from projects.circuit.text import Message, msg
from projects.models import Revision

__all__ = ["Level", "SetUp", "Step", "StepName", "levels_of", "read_set_up"]

StepName = Literal["projects", "roster", "sessions", "kits", "print", "tools", "helpers"]
SOON_DAYS = 14


@dataclass(frozen=True)
class Level:
    """The kits of one project in a workshop; `newer` is a later published revision's number, if there is one."""

    revision: Revision
    kits: int
    newer: int | None


@dataclass(frozen=True)
class Step:
    """One step: what is there, in words, and what is missing. A step that can wait misses nothing.

    `nothing`: there is nothing of it yet, though it can wait.
    """

    name: StepName
    there: tuple[Message, ...]
    missing: tuple[Message, ...] = ()
    can_wait: bool = False
    nothing: bool = False

    @property
    def done(self) -> bool:
        return bool(self.there) and not self.missing and not self.nothing


@dataclass(frozen=True)
class SetUp:
    """All steps, in the order in which they are usually taken."""

    levels: tuple[Level, ...]
    steps: tuple[Step, ...]

    @property
    def missing(self) -> int:
        return sum(bool(step.missing) for step in self.steps)


def levels_of(workshop: Workshop) -> tuple[Level, ...]:
    """The projects that are made in a workshop, with how many kits each has; two queries."""
    counts = dict(workshop.kits.order_by().values_list("revision").annotate(kits=Count("pk")))
    revisions = Revision.objects.filter(pk__in=counts).select_related("project").defer("document")
    published = Q(project__revisions__published_at__isnull=False)
    newest = revisions.annotate(newest=Max("project__revisions__number", filter=published)).order_by("pk")
    levels = []
    for revision in newest:
        number: int = vars(revision)["newest"]
        levels.append(Level(revision, counts[revision.pk], number if number > revision.number else None))
    return tuple(levels)


def read_set_up(workshop: Workshop) -> SetUp:
    """How far the setting up of a workshop is; the same number of queries whatever its size."""
    levels = levels_of(workshop)
    kits = sum(level.kits for level in levels)
    steps = (
        _projects(levels),
        _roster(workshop, kits),
        _sessions(workshop),
        _kits(workshop),
        _print(workshop),
        _tools(workshop),
        _helpers(workshop),
    )
    return SetUp(levels, steps)


def _projects(levels: tuple[Level, ...]) -> Step:
    there = tuple(
        msg("{title}, revision {number}; kits: {count}", title=one.revision.project.title, number=one.revision.number,
            count=one.kits) for one in levels
    )  # fmt: skip
    newer = tuple(
        msg("Of {title} there is a newer revision, {number}. Kits that are here keep theirs.",
            title=one.revision.project.title, number=one.newer) for one in levels if one.newer
    )  # fmt: skip
    return Step("projects", (*there, *newer), () if levels else (msg("No project yet: add kits of one."),))


def _roster(workshop: Workshop, kits: int) -> Step:
    made = workshop.learners.exclude(display_name="").aggregate(
        all=Count("pk", distinct=True), placed=Count("pk", filter=Q(kits__isnull=False), distinct=True)
    )
    named = workshop.kits.filter(kitlearner__isnull=False).distinct().count()
    if not made["all"]:
        if workshop.names_erased_at:
            return Step("roster", (msg("The names of this class were deleted."),), can_wait=True, nothing=True)
        return Step(
            "roster",
            (msg("No names yet. A class works without: kits are known by their number."),),
            can_wait=True,
            nothing=True,
        )
    there = [msg("Names: {count}", count=made["all"])]
    if named < kits:
        there.append(msg("Kits without a name yet: {count}", count=kits - named))
    missing = made["all"] - made["placed"]
    return Step("roster", tuple(there), (msg("Names without a kit yet: {count}", count=missing),) if missing else ())


def _sessions(workshop: Workshop) -> Step:
    planned = plan_sessions(workshop, with_reached=False)
    if not planned:
        return Step("sessions", (), (msg("No session yet: say when the class meets."),))
    there = [
        msg(
            "{day}, {minutes} minutes",
            day=", ".join(filter(None, (date_format(one.session.date, "j F Y"), one.session.clock))),
            minutes=one.session.minutes,
        )
        for one in planned
    ]
    missing = [
        msg("{day} is too short for what is planned there", day=date_format(one.session.date, "j F"))
        for one in planned
        if one.too_long
    ]
    left = [level for level in planned[-1].levels if level.end < len(level.stages)]
    for level in left:
        stages = level.stages[level.end :]
        missing.append(
            msg("{title}: about {minutes} minutes find no room in the sessions",
                title=level.revision.project.title, minutes=round(sum(one.minutes for one in stages)))
        )  # fmt: skip
    return Step("sessions", tuple(there), tuple(missing))


def _kits(workshop: Workshop) -> Step:
    listed = packing_list(workshop)
    if not listed.kits:
        return Step("kits", (), (msg("No kit yet."),))
    states = Counter(kit.state for kit in listed.kits)
    there = [msg("Bags packed: {count}", count=states["packed"] + states["handed-out"] + states["returned"])]
    missing = []
    if left := states["to-pack"] + states["missing"]:
        missing.append(msg("bags still to pack: {count}", count=left))
    if listed.short:
        missing.append(msg("things of which there is too little in the cupboard: {count}", count=len(listed.short)))
    return Step("kits", tuple(there), tuple(missing))


def _print(workshop: Workshop) -> Step:
    last = workshop.print_jobs.filter(state=PrintJob.State.DONE).aggregate(last=Max("ended_at"))["last"]
    if last is None:
        return Step("print", (msg("No class pack was made in the last days."),), can_wait=True, nothing=True)
    when = date_format(timezone.localtime(last), "j F Y, H:i")
    return Step("print", (msg("A class pack was made on {when}", when=when),))


def _tools(workshop: Workshop) -> Step:
    kinds = workshop.tool_kinds.filter(in_use=True).count()
    trays = workshop.tool_trays.filter(in_use=True).count()
    if not kinds or not trays:
        return Step("tools", (), (msg("Nothing to count yet: write what lies in the trays."),))
    return Step("tools", (msg("Kinds of things: {kinds}; trays: {trays}", kinds=kinds, trays=trays),))


def _helpers(workshop: Workshop) -> Step:
    helpers = workshop.helpers.count()
    covers = workshop.covers.filter(day__gte=timezone.localdate()).count()
    there = [msg("Helpers: {count}", count=helpers)] if helpers else []
    if covers:
        there.append(msg("Days to be covered: {count}", count=covers))
    if not there:
        return Step("helpers", (msg("Nobody else is asked to help."),), can_wait=True, nothing=True)
    return Step("helpers", tuple(there), can_wait=True)
