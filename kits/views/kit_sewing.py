"""A learner and their kit, for the teacher: steps, readings against what was expected, notes, photos, what changed."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.forms.sewing import NoteForm, PhotoForm
from kits.models import Event, Kit, Submission
from kits.plan.progress import Progress
from kits.plan.values import PlannedStage, Reading
from kits.plan.words import place_words
from kits.services.access import Person, helper_of, kit_seen_by, kit_taught
from kits.services.events import log
from kits.services.layout_changes import LayoutChanges, layout_changes
from kits.services.photos import photos_allowed
from kits.services.sewing import read_sewing
from kits.services.states import state_of_kit
from kits.views.board_bulk import show_short_codes
from kits.views.findings import pictures
from kits.views.gates import for_teachers
from kits.views.kit import try_it
from kits.views.reading_words import expected_words, reading_words
from kits.views.sewing_drawings import step_pictures
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.drawing import LineState, Overlay
from projects.said import say

__all__ = ["compare", "kit_note", "kit_sewing", "short_code"]


@require_safe
@for_teachers
def kit_sewing(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """All that was done at a kit."""
    return _page(request, person, kit_seen_by(person, kit_id), NoteForm())


@require_POST
@for_teachers
def kit_note(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Keep a note beside the kit."""
    kit = kit_taught(person, kit_id)
    form = NoteForm(request.POST)
    if not form.is_valid():
        return _page(request, person, kit, form, status=400)
    note = form.cleaned_data["note"]
    try_it(request, lambda: log(kit, Event.Kind.NOTE, person.signs, text=note), _("The note is kept."))
    return redirect(f"{reverse('kits:kit-sewing', args=[kit.pk])}#notes-head")


@require_POST
@for_teachers
def short_code(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """A short code for a kit that lost its label."""
    kit = kit_taught(person, kit_id)
    return show_short_codes(request, person, kit.workshop, [kit])


@require_safe
@for_teachers
def compare(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Two submissions side by side; the newest two, unless `old` and `new` say which."""
    kit = kit_seen_by(person, kit_id)
    numbers = list(kit.submissions.order_by("number").values_list("number", flat=True))
    new = _chosen(request.GET.get("new"), numbers, numbers[-1] if numbers else None)
    before = [number for number in numbers if new is not None and number < new]
    old = _chosen(request.GET.get("old"), numbers, before[-1] if before else new)
    sides = {one.number: one for one in kit.submissions.filter(number__in=[n for n in (old, new) if n is not None])}
    context = {
        "person": person,
        "kit": kit,
        "workshop": kit.workshop,
        "numbers": numbers,
        "old": sides.get(old or 0),
        "new": sides.get(new or 0),
        **_differences(sides.get(old or 0), sides.get(new or 0)),
    }
    return render(request, "kits/compare.html", context)


@dataclass(frozen=True)
class StageProgress:
    """A stage with its steps, and which of them are done."""

    title: str
    steps: tuple[tuple[str, bool], ...]
    done: int
    now: bool


@dataclass(frozen=True)
class ReadingRow:
    """What a meter should show between two places, and all that was read there, newest first."""

    stage: str
    places: str
    expected: str
    taken: tuple[tuple[str, bool | None, object], ...]

    @property
    def off(self) -> bool:
        """Whether the last one is not as it should be."""
        return bool(self.taken) and self.taken[0][1] is False


def _page(request: HttpRequest, person: Person, kit: Kit, form: NoteForm, status: int = 200) -> HttpResponse:
    sewing = read_sewing(kit)
    progress = sewing.progress if sewing is not None else None
    notes = kit.events.filter(remark__isnull=False).select_related("learner", "user", "remark").order_by("-pk")
    readings = _readings(sewing.document, sewing.progress) if sewing is not None else []
    continued = sewing.followed.continued if sewing is not None else None
    context = {
        "person": person,
        "kit": kit,
        "workshop": kit.workshop,
        "learners": list(kit.learners.all()),
        "only_helps": helper_of(person, kit.workshop),
        "state": state_of_kit(kit),
        "progress": progress,
        "now": say(progress.now.text) if progress is not None and progress.now is not None else "",
        "minutes_done": round(progress.minutes_done) if progress is not None else 0,
        "minutes_left": round(progress.minutes_left) if progress is not None else 0,
        "stages": [_stage(progress, stage) for stage in progress.plan.stages] if progress is not None else [],
        "taken": [row for row in readings if row.taken],
        "to_take": [row for row in readings if not row.taken],
        "unpick": [(one.line, say(one.why)) for one in continued.unpick] if continued is not None else [],
        "pictures": step_pictures(sewing, progress.now) if sewing is not None and progress is not None else (),
        "notes": [event for event in notes if event.remark.text],
        "photos": list(kit.photos.all()),
        "photos_allowed": photos_allowed(kit),
        "photo_form": PhotoForm(),
        "submissions": kit.submissions.count(),
        "form": form,
    }
    return render(request, "kits/kit_sewing.html", context, status=status)


def _stage(progress: Progress, stage: PlannedStage) -> StageProgress:
    steps = tuple((say(step.text), step.key in progress.done) for step in stage.steps)
    return StageProgress(say(stage.title), steps, sum(done for _words, done in steps), stage is progress.stage)


def _readings(document: Document, progress: Progress) -> list[ReadingRow]:
    """The readings that were taken, and those still asked for."""
    laid_out = lay_out(document)
    titles = {stage.name: say(stage.title) for stage in progress.plan.stages}
    rows = []
    for reading in progress.plan.readings:
        taken = [one for one in reversed(progress.readings) if one.key == reading.key]
        if taken or not reading.optional:
            told = tuple(
                (reading_words(reading.kind, one.value), one.judgement.ok if one.judgement else None, one.at)
                for one in taken
            )
            rows.append(
                ReadingRow(
                    titles.get(reading.stage, reading.stage), _places(laid_out, reading), expected_words(reading), told
                )
            )
    return rows


def _places(laid_out: LaidOut, reading: Reading) -> str:
    return " – ".join(say(place_words(laid_out, end)) for end in (reading.start, reading.end))


def _chosen(asked: str | None, numbers: list[int], usual: int | None) -> int | None:
    number = int(asked) if asked is not None and asked.isascii() and asked.isdigit() and len(asked) < 6 else None
    return number if number in numbers else usual


def _differences(old: Submission | None, new: Submission | None) -> dict[str, object]:
    if old is None or new is None:
        return {"changes": None}
    before, after = old.read(), new.read()
    changes = layout_changes(before.layout, after.layout)
    gone: dict[str, LineState] = {**dict.fromkeys(changes.moved, "next"), **dict.fromkeys(changes.removed, "wrong")}
    come: dict[str, LineState] = {**dict.fromkeys(changes.moved, "next"), **dict.fromkeys(changes.added, "now")}
    return {
        "changes": changes,
        "words": _words(changes),
        "old_pictures": pictures(lay_out(before), Overlay(line_states=gone)),
        "new_pictures": pictures(lay_out(after), Overlay(line_states=come)),
    }


def _words(changes: LayoutChanges) -> list[tuple[str, str]]:
    """What changed, a row each: what happened, and to which lines or parts."""
    rows = [
        (_("Lines added"), changes.added),
        (_("Lines taken out"), changes.removed),
        (_("Lines moved"), changes.moved),
        (_("Parts added"), changes.parts_added),
        (_("Parts taken off"), changes.parts_removed),
        (_("Parts moved or turned"), changes.parts_moved),
    ]
    return [(words, ", ".join(names)) for words, names in rows if names]
