"""One measured figure beside its budget."""

from dataclasses import dataclass
from statistics import median
from time import perf_counter
from typing import Protocol

from django.db import connection
from django.test.utils import CaptureQueriesContext

__all__ = ["Measure", "median_seconds", "queries_of", "seconds_of"]


@dataclass(frozen=True)
class Measure:
    """What was measured, its value, and what it may be at most (at least, where `at_least`), in `unit`."""

    what: str
    value: float
    budget: float
    unit: str
    at_least: bool = False

    @property
    def kept(self) -> bool:
        """Whether the budget is kept; a value that is not a number keeps none."""
        return self.value >= self.budget if self.at_least else self.value <= self.budget


class _Work(Protocol):
    def __call__(self) -> object: ...


def median_seconds(work: _Work, times: int = 7) -> float:
    """Median wall time of one call of `work`, in seconds, after one call that is not counted."""
    work()
    return median(seconds_of(work) for _ in range(times))


def seconds_of(work: _Work) -> float:
    """Wall time of one call of `work`, in seconds."""
    start = perf_counter()
    work()
    return perf_counter() - start


def queries_of(ask: _Work) -> int:
    """How many queries one call of `ask` makes."""
    with CaptureQueriesContext(connection) as caught:
        ask()
    return len(caught)
