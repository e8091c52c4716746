"""Reading how far the sewing of a kit is, step by step."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from kits.models import Event, Kit, Submission
from kits.plan.continuing import Unpick, continue_plan
from kits.plan.follow import Chapter, Followed, follow
from kits.plan.make import make_plan
from kits.plan.progress import Progress
from kits.plan.values import Plan
from kits.progress import KitState, Tick, state_of
from kits.services.kit_needs import habits_of
from kits.services.states import stage_rows
from projects.circuit.document import Document
from projects.circuit.sewing import Habits
from projects.stored import document_from

__all__ = ["Sewing", "read_sewing", "what_to_unpick"]

_FIELDS = ("kind", "stage", "at", "submission_id", "remark__text", "step", "payload")


@dataclass(frozen=True)
class Sewing:
    """A kit whose layout was accepted: its state as the board has it, and its plan with all that is done of it."""

    state: KitState
    followed: Followed

    @property
    def document(self) -> Document:
        """What is sewn by."""
        return self.followed.document

    @property
    def progress(self) -> Progress:
        return self.followed.progress


def read_sewing(kit: Kit) -> Sewing | None:
    """How far the sewing is; None while no layout was accepted yet. Two queries.

    Where a changed layout waits for its look, the one that was accepted before still counts.
    """
    events = list(kit.events.order_by("pk").values_list(*_FIELDS))
    ticks = [_tick(*event) for event in events]
    accepted = [at for at, tick in enumerate(ticks) if tick.kind == Event.Kind.ACCEPTED]
    if not accepted:
        return None
    redrawn = {event[3]: frozenset(event[6]["lines"]) for event in events if event[0] == Event.Kind.SEWN_OTHERWISE}
    documents = _documents(ticks[at].submission for at in accepted)
    habits, chapters = habits_of(kit.workshop), []
    for at, until in zip(accepted, [*accepted[1:], len(ticks)], strict=True):
        submission = ticks[at].submission or 0
        _text, document = documents[submission]
        chapters.append(Chapter(document, ticks[at + 1 : until], redrawn.get(submission, frozenset())))
    first_plan = _plan(documents[ticks[accepted[0]].submission or 0][0], habits)
    return Sewing(state_of(stage_rows(kit), ticks), follow(chapters, habits, first_plan))


def what_to_unpick(submission: Submission) -> tuple[Unpick, ...]:
    """Sewn lines that must come out if this layout is accepted; nothing where no sewing has begun."""
    kit = submission.kit
    sewing = read_sewing(kit)
    if sewing is None:
        return ()
    told = kit.events.filter(submission=submission, kind=Event.Kind.SEWN_OTHERWISE).values_list("payload", flat=True)
    redrawn = {line for payload in told for line in payload["lines"]}
    return continue_plan(sewing.followed.so_far, submission.read(), habits_of(kit.workshop), redrawn).unpick


def _tick(
    kind: str,
    stage: str,
    at: object,
    submission: int | None,
    text: str | None,
    step: str,
    payload: dict[str, object],
) -> Tick:
    value = payload.get("value")
    return Tick(kind, stage, at, submission, text or "", step, value)  # type: ignore[arg-type]


def _documents(submissions: Iterable[int | None]) -> dict[int, tuple[str, Document]]:
    """What was handed in, as text and read."""
    found = Submission.objects.filter(pk__in={pk for pk in submissions if pk}).values_list("pk", "document")
    texts = ((pk, json.dumps(stored, sort_keys=True)) for pk, stored in found)
    return {pk: (text, _read(text)) for pk, text in texts}


# A learner ticks a hundred steps of one plan, which never changes meanwhile; values alone are kept, never rows.


@lru_cache(maxsize=128)
def _read(text: str) -> Document:
    return document_from(json.loads(text))


@lru_cache(maxsize=128)
def _plan(text: str, habits: Habits) -> Plan:
    return make_plan(_read(text), habits)
