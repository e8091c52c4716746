"""Minutes that a kit was worked on: times present, without breaks and absence."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from kits.pace.values import Logged
from kits.plan.progress import Advance

__all__ = ["Presence", "logged_by_stage", "minutes_present"]


@dataclass(frozen=True)
class Presence:
    """From when to when somebody who makes the kit was there, in class; `until` None: still is.

    Of a pair either counts; times that overlap count once.
    """

    since: datetime
    until: datetime | None = None


def minutes_present(presence: Iterable[Presence], since: datetime, until: datetime) -> float:
    """Minutes present from `since` to `until`; zero where that is no time at all."""
    spans = sorted((max(one.since, since), min(one.until or until, until)) for one in presence)
    minutes = []
    reached = since
    for start, end in spans:
        start = max(start, reached)
        if end > start:
            minutes.append((end - start).total_seconds() / 60)
            reached = end
    return math.fsum(minutes)


def logged_by_stage(
    done: Iterable[Advance], presence: Sequence[Presence], begun_at: datetime
) -> tuple[dict[str, Logged], datetime]:
    """Planned and real minutes of each stage worked on, and when something last got done.

    `done` oldest first; time since the step before goes to what got done, shared by planned minutes where one tick
    did several stages.
    """
    planned: dict[str, float] = {}
    taken: dict[str, float] = {}
    last = begun_at
    for at, together in _by_time(done):
        spent = minutes_present(presence, last, at)
        whole = math.fsum(one.planned_minutes for one in together)
        for one in together:
            planned[one.stage] = planned.get(one.stage, 0.0) + one.planned_minutes
            taken[one.stage] = taken.get(one.stage, 0.0) + spent * one.planned_minutes / whole
        last = max(last, at)
    return {stage: Logged(minutes, taken[stage]) for stage, minutes in planned.items()}, last


def _by_time(done: Iterable[Advance]) -> list[tuple[datetime, list[Advance]]]:
    found: list[tuple[datetime, list[Advance]]] = []
    for one in done:
        if one.planned_minutes <= 0:
            continue
        if found and found[-1][0] == one.at:
            found[-1][1].append(one)
        else:
            found.append((one.at, [one]))
    return found
