"""Reading how far the sewing of a kit is, step by step."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kits.models import Event, Kit, Submission
from kits.plan.follow import Chapter, Followed, follow
from kits.plan.progress import Progress
from kits.progress import KitState, Tick, state_of
from kits.services.kit_needs import habits_of
from kits.services.states import stage_rows
from projects.circuit.document import Document

__all__ = ["Sewing", "read_sewing"]

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
    chapters = []
    for at, until in zip(accepted, [*accepted[1:], len(ticks)], strict=True):
        submission = ticks[at].submission or 0
        chapters.append(Chapter(documents[submission], ticks[at + 1 : until], redrawn.get(submission, frozenset())))
    return Sewing(state_of(stage_rows(kit), ticks), follow(chapters, habits_of(kit.workshop)))


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


def _documents(submissions: Iterable[int | None]) -> dict[int, Document]:
    found = Submission.objects.filter(pk__in={pk for pk in submissions if pk})
    return {submission.pk: submission.read() for submission in found}
