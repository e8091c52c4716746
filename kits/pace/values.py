"""What a pace is made of. Minutes are of time present: breaks and absence do not count."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time
from typing import Literal

__all__ = ["ClassPace", "Forecast", "KitWork", "Logged", "Outlook", "SessionHours"]

Outlook = Literal["fine", "tight", "will-not-finish"]


@dataclass(frozen=True)
class SessionHours:
    """How long a session is, setting out and counting back included, and when it starts, where that is known."""

    minutes: int
    starts: time | None = None


@dataclass(frozen=True)
class Logged:
    """Work done: minutes planned for it, and minutes present that it took."""

    planned: float
    minutes: float


@dataclass(frozen=True)
class KitWork:
    """What one kit has done and has left.

    `logged`: one entry for each stage done, or done in part. `current`: planned minutes left of the stage in hand,
    and `since`: minutes present since anything in it last got done. `left`: planned minutes of each stage not begun.
    """

    logged: tuple[Logged, ...] = ()
    current: float = 0.0
    since: float = 0.0
    left: tuple[float, ...] = ()


@dataclass(frozen=True)
class ClassPace:
    """How a class works against the plan: logs of (minutes taken / minutes planned).

    `centre`: of a usual kit; `centre_variance`: how unsure that is; `between`: standard deviation from kit to kit;
    `within`: from stage to stage of one kit; `kits`: how many had logged anything.
    """

    centre: float
    centre_variance: float
    between: float
    within: float
    kits: int


@dataclass(frozen=True)
class Forecast:
    """Minutes of time present that a kit still needs: with 80 % between `low` and `high`, as likely as not `likely`.

    `factor`: minutes it takes for one planned minute.
    """

    factor: float
    low: float
    likely: float
    high: float
