"""Who is stuck: twice the planned time without progress, while present."""

from __future__ import annotations

__all__ = ["LEAST_MINUTES", "STUCK_FACTOR", "is_stuck"]

STUCK_FACTOR = 2.0
LEAST_MINUTES = 4.0
"""A step of half a minute is not stuck after one: fewer minutes than these are never called so (common practice)."""


def is_stuck(planned_minutes: float, minutes_since: float, *, present: bool = True, waiting: bool = False) -> bool:
    """Whether a kit is stuck on a step (or, where only stages are ticked, a stage) planned for `planned_minutes`.

    `minutes_since`: time present since something last got done. One who is absent, or waits for a look that somebody
    else gives, is not stuck.

    >>> is_stuck(10.0, 19.0), is_stuck(10.0, 20.0), is_stuck(10.0, 50.0, present=False), is_stuck(0.5, 2.0)
    (False, True, False, False)
    """
    if not present or waiting:
        return False
    return minutes_since >= max(STUCK_FACTOR * planned_minutes, LEAST_MINUTES)
