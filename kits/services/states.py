"""Reading how far kits are from the database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from kits.models import Event, Kit
from kits.progress import BOARD_KINDS, KitState, StageRow, Tick, state_of
from projects.circuit.text import Message
from projects.said import say

__all__ = ["said_stages", "stage_rows", "state_of_kit", "states_of", "states_of_at", "states_of_kits"]


def said_stages(stored: Sequence[Mapping[str, Any]]) -> tuple[StageRow, ...]:
    """Stages as a kit stores them, in the reader's language."""
    return tuple(
        StageRow(row["name"], say(Message(row["title"], row.get("values", {}))), row["look"], row.get("goes_on", False))
        for row in stored
    )


def stage_rows(kit: Kit) -> tuple[StageRow, ...]:
    """The kit's stages in order, in the reader's language."""
    return said_stages(kit.stages)


def state_of_kit(kit: Kit) -> KitState:
    """How far one kit is; one query."""
    return states_of_kits([kit])[kit.pk]


def states_of_kits(kits: Iterable[Kit]) -> dict[int, KitState]:
    """How far each kit is, by its id; one query for all of them."""
    return states_of({kit.pk: stage_rows(kit) for kit in kits})


def states_of(stages: Mapping[int, Sequence[StageRow]]) -> dict[int, KitState]:
    """How far each kit is, from the stages of each by its id; one query for all of them."""
    ticks = _ticks(stages)
    return {kit_id: state_of(rows, ticks[kit_id]) for kit_id, rows in stages.items()}


def states_of_at(stages: Mapping[int, Sequence[StageRow]], moments: Sequence[datetime]) -> list[dict[int, KitState]]:
    """How far each kit was at each of these moments; one query for all of them."""
    ticks = _ticks(stages) if moments else {}
    return [
        {
            kit_id: state_of(rows, [tick for tick in ticks[kit_id] if tick.at < moment])
            for kit_id, rows in stages.items()
        }
        for moment in moments
    ]


def _ticks(kit_ids: Iterable[int]) -> dict[int, list[Tick]]:
    fields = ("kit_id", "kind", "stage", "at", "submission_id", "remark__text")
    events = Event.objects.filter(kit__in=list(kit_ids), kind__in=BOARD_KINDS)
    ticks: dict[int, list[Tick]] = defaultdict(list)
    for kit_id, kind, stage, at, submission, text in events.order_by("pk").values_list(*fields):
        ticks[kit_id].append(Tick(kind, stage, at, submission, text or ""))
    return ticks
