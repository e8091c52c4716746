"""Who is stuck, and who gets done today: worked out from the stages and the log of a whole class at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Any

from django.utils import timezone

from kits.models import Workshop
from kits.pace.estimate import learn_class
from kits.pace.forecast import forecast, outlook
from kits.pace.presence import Presence, logged_by_stage, minutes_present
from kits.pace.stuck import is_stuck
from kits.pace.values import Forecast, KitWork, Outlook, SessionHours
from kits.plan.progress import Advance
from kits.plan.sessions import LAYOUT
from kits.progress import KitState

__all__ = ["ClassDay", "KitLog", "KitPace", "class_day", "paces"]


@dataclass
class KitLog:
    """What is known of one kit's time. `stored`: its stages as it keeps them; `goal`: the stage to reach today;
    `saved_at`: when its layout was last saved.

    `moves`: when what was done or taken back, in planned minutes; `away`: when which learner was said to be absent,
    or there again.
    """

    stored: Sequence[Mapping[str, Any]]
    goal: str | None = None
    saved_at: datetime | None = None
    learners: list[int] = field(default_factory=list)
    accepted_at: datetime | None = None
    moves: list[Advance] = field(default_factory=list)
    away: list[tuple[datetime, int, bool]] = field(default_factory=list)


@dataclass(frozen=True)
class KitPace:
    """`needs`: minutes that the kit still needs today, and `outlook` what that means; None where neither is asked."""

    stuck: bool = False
    minutes_since: int = 0
    outlook: Outlook | None = None
    needs: Forecast | None = None


@dataclass(frozen=True)
class ClassDay:
    """The times at which the class was at work, and the minutes left today; None where there is no session today."""

    spans: tuple[Presence, ...]
    now: datetime
    minutes_left: float | None


def class_day(workshop: Workshop, hours: SessionHours | None, times: Iterable[datetime]) -> ClassDay:
    """From the times of the class's events: each day from its first to its last; today until the session ends.

    `hours` None: no session today. Where nobody said when it starts, setting out comes before the first event, so
    only counting back is taken off. Seconds do not count, so that all boards of one minute show the same.
    """
    now = timezone.now().replace(second=0, microsecond=0)
    today = timezone.localdate()
    days: dict[date, tuple[datetime, datetime]] = {}
    zone = timezone.get_current_timezone()
    for at in times:
        day = at.astimezone(zone).date()
        first, last = days.get(day, (at, at))
        days[day] = min(first, at), max(last, at)
    left: float | None = None
    if hours is not None:
        begins, set_out = days.get(today, (now, now))[0], 0
        if hours.starts is not None:
            begins, set_out = datetime.combine(today, hours.starts, zone), workshop.set_out_minutes
        ends = begins + timedelta(minutes=max(0, hours.minutes - workshop.count_back_minutes))
        begins = min(begins + timedelta(minutes=set_out), ends)
        days[today] = begins, min(max(now, begins), ends)
        left = max(0.0, (ends - max(now, begins)).total_seconds() / 60)
    return ClassDay(tuple(Presence(first, last) for first, last in days.values()), now, left)


def paces(
    workshop: Workshop, day: ClassDay, logs: Mapping[int, KitLog], states: Mapping[int, KitState]
) -> dict[int, KitPace]:
    """The pace of each kit by its id."""
    present = {pk: list(_presence(day.spans, log)) for pk, log in logs.items()}
    layout = float(workshop.layout_minutes)
    works = {pk: _work(log, states[pk], present[pk], day.now, layout) for pk, log in logs.items()}
    asked = [pk for pk in logs if day.minutes_left is not None and states[pk].phase not in ("finished", "not-begun")]
    needs = dict(zip(asked, _needs(tuple(works.values()), tuple(works[pk] for pk in asked)), strict=True))
    found = {}
    for pk, log in logs.items():
        since = _minutes_since(states[pk], log.saved_at, present[pk], day.now)
        stuck = _is_stuck(workshop, log, states[pk], since, absent_now(log))
        seen = outlook(needs[pk], day.minutes_left or 0.0) if pk in needs else None
        found[pk] = KitPace(stuck, round(since), seen, needs.get(pk))
    return found


@lru_cache(maxsize=64)
def _needs(everyone: tuple[KitWork, ...], asked: tuple[KitWork, ...]) -> tuple[Forecast, ...]:
    """Worked out once a minute or a change, however many boards ask."""
    return tuple(forecast(learn_class(everyone), asked))


def absent_now(log: KitLog) -> frozenset[int]:
    """Learners of the kit who are absent today."""
    if not log.away:
        return frozenset()
    today, zone = timezone.localdate(), timezone.get_current_timezone()
    absent: set[int] = set()
    for at, learner, away in log.away:
        if at.astimezone(zone).date() == today:
            (absent.add if away else absent.discard)(learner)
    return frozenset(absent)


def _presence(spans: Sequence[Presence], log: KitLog) -> Iterable[Presence]:
    """The class's times without those at which everyone who makes the kit was absent."""
    for span in spans:
        absent: set[int] = set()
        since: datetime | None = span.since
        until = span.until or span.since
        for at, learner, away in log.away:
            if not span.since <= at <= until:
                continue
            (absent.add if away else absent.discard)(learner)
            gone = bool(log.learners) and absent >= set(log.learners)
            if gone and since is not None:
                yield Presence(since, at)
                since = None
            elif not gone and since is None:
                since = at
        if since is not None:
            yield Presence(since, until)


def _work(log: KitLog, state: KitState, present: Sequence[Presence], now: datetime, layout: float) -> KitWork:
    begun_at = log.accepted_at or now
    logged, last = logged_by_stage(log.moves, present, begun_at)
    left = _left(log, state)
    current = left.pop(state.current, 0.0) if state.current is not None else 0.0
    since = minutes_present(present, last, now) if state.sewing_begun else 0.0
    if state.phase in ("not-begun", "laying-out", "sent-back"):
        left[LAYOUT] = layout
    return KitWork(tuple(logged.values()), current, since, tuple(one for one in left.values() if one > 0))


def _left(log: KitLog, state: KitState) -> dict[str, float]:
    """Planned minutes left of each stage up to the one to reach today."""
    done: dict[str, float] = {}
    for move in log.moves:
        done[move.stage] = done.get(move.stage, 0.0) + move.planned_minutes
    left: dict[str, float] = {}
    names = [LAYOUT, *(row["name"] for row in log.stored)]
    until = names.index(log.goal) if log.goal in names else len(names)
    for row in log.stored[:until]:
        planned = float(row.get("minutes", 0.0))
        if row["name"] not in state.done:
            left[row["name"]] = max(0.0, planned - max(0.0, done.get(row["name"], 0.0)))
    return left


def _minutes_since(state: KitState, saved_at: datetime | None, present: Sequence[Presence], now: datetime) -> float:
    """Minutes present since the kit moved on; who draws moves on, though no event says so."""
    moved_at = state.moved_at
    if moved_at is not None and saved_at is not None and state.phase in ("laying-out", "sent-back"):
        moved_at = max(moved_at, saved_at)
    return minutes_present(present, moved_at, now) if moved_at is not None else 0.0


def _is_stuck(workshop: Workshop, log: KitLog, state: KitState, since: float, absent: frozenset[int]) -> bool:
    if state.phase in ("not-begun", "handed-in", "finished"):
        return False
    planned = float(workshop.layout_minutes)
    if state.phase == "sewing":
        row = next((row for row in log.stored if row["name"] == state.current), {})
        planned = float(row.get("longest" if state.by_step else "minutes", 0.0))
    there = not (log.learners and absent >= set(log.learners))
    return is_stuck(planned, since, present=there, waiting=state.waiting_for_look is not None)
