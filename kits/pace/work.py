"""What one kit has done and has left, from its progress."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from kits.pace.presence import Presence, logged_by_stage, minutes_present
from kits.pace.values import KitWork
from kits.plan.progress import Advance, Progress

__all__ = ["kit_work"]


def kit_work(
    progress: Progress,
    done: Iterable[Advance],
    presence: Sequence[Presence],
    *,
    begun_at: datetime,
    now: datetime,
) -> KitWork:
    """The work of one kit for `forecast`.

    `done`: `advances` of the same plan and events; `begun_at`: when its first step could be done, such as the time
    at which its layout was accepted. Steps left open in any stage are counted; the stage in hand is that of the step
    to do now.
    """
    logged, last = logged_by_stage(done, presence, begun_at)
    left: dict[str, float] = {}
    for stage, step in progress.left:
        left[stage.name] = left.get(stage.name, 0.0) + step.minutes
    current = left.pop(progress.stage.name, 0.0) if progress.stage is not None else 0.0
    since = minutes_present(presence, last, now)
    return KitWork(tuple(logged.values()), current, since, tuple(minutes for minutes in left.values() if minutes > 0))
