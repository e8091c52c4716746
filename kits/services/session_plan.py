"""The sessions of a workshop: what each is to bring, what it needs, and afterwards what was reached."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import time, timedelta

from django.db import transaction
from django.utils import timezone

from kits.models import Kit, Session, SessionGoal, Workshop
from kits.plan.batteries import batteries_of
from kits.plan.sessions import LAYOUT, KitWork, StageTime, last_stages, stage_times, things_to_set_out
from kits.plan.values import Run
from kits.progress import KitState
from kits.services.kit_needs import habits_of, kit_needs
from kits.services.states import stage_rows, states_of_at
from kits.supplies.kit_items import KitNeeds
from projects.circuit.text import Message
from projects.models import Revision

__all__ = ["LevelNow", "SessionNow", "plan_sessions", "save_goals"]


@dataclass(frozen=True)
class LevelNow:
    """The kits of one project in one session.

    `stages` are all of the project's; those from `begin` to before `end` are this session's. `chosen`: the teacher
    set the goal, else it is ours. `reached`, `behind`: numbers of kits that were there at the day's end, and that
    were not, once the day has come.
    """

    revision: Revision
    kits: tuple[int, ...]
    stages: tuple[StageTime, ...]
    begin: int
    end: int
    chosen: bool
    reached: tuple[int, ...] = ()
    behind: tuple[int, ...] = ()

    @property
    def here(self) -> tuple[StageTime, ...]:
        return self.stages[self.begin : self.end]

    @property
    def minutes(self) -> float:
        return sum(stage.minutes for stage in self.here)

    @property
    def longest(self) -> float:
        return sum(stage.longest for stage in self.here)

    @property
    def goal(self) -> StageTime | None:
        return self.stages[self.end - 1] if self.end else None

    @property
    def next(self) -> StageTime | None:
        """The stage that is begun but not finished in this session, or comes after it."""
        return self.stages[self.end] if self.end < len(self.stages) else None


@dataclass(frozen=True)
class SessionNow:
    """One session with its levels; `number` counts from 1, `of` is the last. `over`: its day has come or gone."""

    session: Session
    number: int
    of: int
    levels: tuple[LevelNow, ...]
    set_out: tuple[Message, ...]
    over: bool

    @property
    def minutes(self) -> float:
        """Minutes of work planned: of the level that takes longest."""
        return max((level.minutes for level in self.levels), default=0)

    @property
    def too_long(self) -> bool:
        return self.minutes > self.session.sewing_minutes + 0.5


def plan_sessions(workshop: Workshop, *, with_reached: bool = True) -> list[SessionNow]:
    """All sessions of a workshop in order; the same few queries however many kits and sessions there are."""
    sessions = list(workshop.sessions.prefetch_related("goals").order_by("date", "pk"))
    for session in sessions:
        session.workshop = workshop
    kits = list(workshop.kits.select_related("revision__project").prefetch_related("learners").order_by("number"))
    plans = kit_needs(kits, habits_of(workshop))
    levels = _levels(workshop, kits, plans)
    ends = {pk: _ends(sessions, level) for pk, level in levels.items()}
    states = _states(kits, sessions) if with_reached else {}
    return [
        _session_now(session, number, levels, ends, plans, states.get(session.pk))
        for number, session in enumerate(sessions)
    ]


def save_goals(session: Session, goals: Mapping[int, str]) -> None:
    """Set how far this session is to bring each project, by the revision's id; empty leaves it to the plan."""
    with transaction.atomic():
        for revision_id, stage in goals.items():
            if stage:
                SessionGoal.objects.update_or_create(
                    session=session, revision_id=revision_id, defaults={"stage": stage}
                )
            else:
                session.goals.filter(revision_id=revision_id).delete()


@dataclass(frozen=True)
class _Level:
    revision: Revision
    kits: tuple[Kit, ...]
    stages: tuple[StageTime, ...]

    def position(self, name: str) -> int:
        """How many stages are done once the named one is; 0 for a name that the plan has no more."""
        names = [stage.name for stage in self.stages]
        return names.index(name) + 1 if name in names else 0


def _levels(workshop: Workshop, kits: Sequence[Kit], plans: Mapping[int, KitNeeds]) -> dict[int, _Level]:
    found: dict[int, list[Kit]] = {}
    for kit in kits:
        found.setdefault(kit.revision_id, []).append(kit)
    levels = {}
    for pk, own in found.items():
        laid_out_by_learners = plans[own[0].pk].project.learner_may != "nothing"
        stages = stage_times(
            [plans[kit.pk].plan.stages for kit in own], workshop.layout_minutes if laid_out_by_learners else 0
        )
        levels[pk] = _Level(own[0].revision, tuple(own), stages)
    return levels


def _ends(sessions: Sequence[Session], level: _Level) -> list[tuple[int, bool]]:
    """For each session, how many stages are done by its end, and whether the teacher said so."""
    room = [session.sewing_minutes for session in sessions]
    found: list[tuple[int, bool]] = []
    begin = 0
    for number, session in enumerate(sessions):
        goal = next((one.stage for one in session.goals.all() if one.revision_id == level.revision.pk), "")
        chosen = level.position(goal)
        # After a session with a goal of the teacher's, what follows is reckoned anew from there.
        since = next((at for at in range(number - 1, -1, -1) if found[at][1]), -1)
        done = found[since][0] if since >= 0 else 0
        minutes = [stage.minutes for stage in level.stages[done:]]
        planned = done + last_stages(minutes, room[since + 1 : number + 1])[-1]
        begin = max(begin, chosen or planned)
        found.append((begin, bool(chosen)))
    return found


def _session_now(
    session: Session,
    number: int,
    levels: Mapping[int, _Level],
    ends: Mapping[int, Sequence[tuple[int, bool]]],
    plans: Mapping[int, KitNeeds],
    states: Mapping[int, KitState] | None,
) -> SessionNow:
    found, works = [], []
    for pk, level in levels.items():
        begin = ends[pk][number - 1][0] if number else 0
        end, chosen = ends[pk][number]
        goal = level.stages[end - 1].name if end else ""
        there = tuple(kit.number for kit in level.kits if states and _is_at(states[kit.pk], goal))
        now = LevelNow(
            level.revision,
            tuple(kit.number for kit in level.kits),
            level.stages,
            begin,
            end,
            chosen,
            there,
            tuple(kit.number for kit in level.kits if kit.number not in there) if states else (),
        )
        found.append(now)
        # What is begun but not finished needs its things as well.
        names = {stage.name for stage in level.stages[begin : end + (now.minutes < session.sewing_minutes)]}
        works += [_work(kit, plans[kit.pk], names) for kit in level.kits]
    return SessionNow(
        session,
        number + 1,
        len(next(iter(ends.values()), ())) or 1,
        tuple(found),
        things_to_set_out(works),
        states is not None,
    )


def _work(kit: Kit, plans: KitNeeds, names: set[str]) -> KitWork:
    stages = tuple(stage for stage in plans.plan.stages if stage.name in names)
    sewn = {connection for stage in stages for connection in stage.connections}
    runs: tuple[Run, ...] = tuple(run for run in plans.plan.runs if run.connection in sewn)
    cells = sum(number for _battery, number in batteries_of(plans.project))
    return KitWork(kit.number, plans.learners, stages, runs, cells, LAYOUT in names)


def _states(kits: Sequence[Kit], sessions: Sequence[Session]) -> dict[int, dict[int, KitState]]:
    """Where each kit stood at the end of each session that has begun; one query for all of them."""
    stages = {kit.pk: stage_rows(kit) for kit in kits}
    today = timezone.localdate()
    ends = {session.pk: _end_of(session.date) for session in sessions if session.date <= today}
    return {pk: states for pk, states in zip(ends, states_of_at(stages, list(ends.values())), strict=True)}


def _end_of(day: datetime.date) -> datetime.datetime:
    return timezone.make_aware(datetime.datetime.combine(day + timedelta(days=1), time.min))


def _is_at(state: KitState, goal: str) -> bool:
    if goal == LAYOUT:
        return state.submission is not None or state.accepted is not None
    return not goal or goal in state.done
