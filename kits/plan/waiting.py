"""Minutes that learners wait for a meter where a class has fewer meters than learners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kits.plan.values import PlannedStage
from projects.circuit.sewing import Habits

__all__ = ["waiting_minutes", "with_waiting"]


def with_waiting(stages: Sequence[PlannedStage], habits: Habits) -> list[PlannedStage]:
    """The same stages; in each that takes readings, the wait is in the minutes of the first one."""
    visits = [math.fsum(step.minutes for step in stage.steps if step.action == "read") for stage in stages]
    number = sum(minutes > 0 for minutes in visits)
    if not number:
        return list(stages)
    reading = math.fsum(visits)
    working = math.fsum(stage.minutes for stage in stages) - reading
    wait = waiting_minutes(reading / number, working / number, habits.meters, habits.learners)
    return [_waiting(stage, wait) if minutes > 0 else stage for stage, minutes in zip(stages, visits, strict=True)]


def _waiting(stage: PlannedStage, wait: float) -> PlannedStage:
    first = next(at for at, step in enumerate(stage.steps) if step.action == "read" and step.minutes > 0)
    steps = list(stage.steps)
    steps[first] = replace(steps[first], minutes=steps[first].minutes + wait)
    return replace(stage, steps=tuple(steps), minutes=math.fsum(step.minutes for step in steps))


def waiting_minutes(visit: float, between: float, meters: int, learners: int) -> float:
    """Mean wait for one of `meters`, when each of `learners` uses one for `visit` minutes, then works for `between`.

    The queue of a machine repairman: exponential times, one queue (Palm 1947; citation from memory). Zero where there
    is a meter for everyone.

    >>> waiting_minutes(2.0, 20.0, 6, 6)
    0.0
    >>> round(waiting_minutes(1.0, 1.0, 1, 2), 6)  # one works alone 2/5 of the time, none does 2/5, both 1/5
    0.5
    """
    if meters < 1 or learners <= meters or visit <= 0:
        return 0.0
    ratio = visit / max(between, 1e-6)
    # Logs, since factorials of a class are beyond floats' reach when the ratio is large.
    weights = []
    for here in range(learners + 1):
        log = math.log(math.comb(learners, here)) + here * math.log(ratio)
        if here > meters:
            log += math.lgamma(here + 1) - math.lgamma(meters + 1) - (here - meters) * math.log(meters)
        weights.append(log)
    top = max(weights)
    shares = [math.exp(weight - top) for weight in weights]
    whole = math.fsum(shares)
    queue = math.fsum(max(0, here - meters) * share for here, share in enumerate(shares)) / whole
    busy = math.fsum(min(here, meters) * share for here, share in enumerate(shares)) / whole
    return queue * visit / busy
