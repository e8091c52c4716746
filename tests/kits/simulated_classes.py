"""Classes at work, played through with plain dice: nothing here knows how a pace is estimated.

Each kit has a factor, log-normal within its class; each stage takes planned minutes × the kit's factor × a factor of
its own. All kits of a class are looked at when the same clock time has come.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = ["SimulatedKit", "simulated_class", "simulated_classes"]


@dataclass(frozen=True)
class SimulatedKit:
    """`done`: (planned, real) minutes; `current`: planned minutes of the stage in hand; `truly_left`: real minutes."""

    done: tuple[tuple[float, float], ...]
    current: float
    since: float
    ahead: tuple[float, ...]
    truly_left: float


def simulated_class(dice: random.Random, kits: int, by_steps: bool) -> list[SimulatedKit]:
    """One class, some time after it began; kits that are done by then are in it too, with nothing left.

    `by_steps`: a stage's own factor is not log-normal, but comes from many small steps of exponential length.
    """
    usual, between, within = dice.gauss(0.1, 0.25), dice.uniform(0.15, 0.5), dice.uniform(0.2, 0.5)
    stages = [dice.uniform(3, 20) for _ in range(dice.randint(6, 9))]
    clock = dice.uniform(0.1, 0.9) * sum(stages)
    return [_kit(dice, stages, usual + dice.gauss(0, between), within, clock, by_steps) for _ in range(kits)]


def _kit(
    dice: random.Random, stages: list[float], pace: float, within: float, clock: float, by_steps: bool
) -> SimulatedKit:
    def factor() -> float:
        if by_steps:
            steps = max(2, round(1 / within**2))
            return sum(dice.expovariate(1.0) for _ in range(steps)) / steps
        return dice.lognormvariate(0, within)

    real = [planned * factor() * 2.718281828459045**pace for planned in stages]
    done, passed = [], 0.0
    for at, (planned, minutes) in enumerate(zip(stages, real, strict=True)):
        if passed + minutes > clock:
            return SimulatedKit(tuple(done), planned, clock - passed, tuple(stages[at + 1 :]), sum(real) - clock)
        done.append((planned, minutes))
        passed += minutes
    return SimulatedKit(tuple(done), 0.0, 0.0, (), 0.0)


def simulated_classes(seed: int, classes: int, kits: int = 24, by_steps: bool = False) -> Iterator[list[SimulatedKit]]:
    """Classes from one seed: always the same ones."""
    dice = random.Random(seed)
    for _ in range(classes):
        yield simulated_class(dice, kits, by_steps)
