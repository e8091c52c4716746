"""A class's pace from what its kits have logged: how fast they are, and how much they differ.

The log of (minutes taken / minutes planned) of a stage is taken as centre + what is the kit's own + what is the
stage's own, both normal: factors are log-normal. The two variances are estimated from the class (empirical Bayes) by
expectation and maximisation, as for any random effect (Laird and Ware 1982) with some values known only to be beyond
a bound (Dempster, Laird and Rubin 1977; both citations from memory), and with a few kits' and stages' worth of usual
values added, so that the first minutes of a first session already have a pace.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr

from kits.pace.values import ClassPace, KitWork, Logged

__all__ = ["LEAST_MINUTES", "KitPace", "kit_pace", "learn_class"]

Floats = NDArray[np.float64]

USUAL_BETWEEN, USUAL_WITHIN, USUAL_CENTRE = 0.35, 0.35, 0.4
"""Standard deviations before anything is logged: two kits in three within a factor of 1.4 (common practice)."""
USUAL_COUNTS = 4.0
"""For how many kits, and stages, the usual values count."""
LEAST_PLANNED = 1.0
"""Minutes; what is planned for less tells more of when it was ticked than of how long it took."""
LEAST_MINUTES = 0.01
"""Less than this is no time at all."""
MOST_LOG = math.log(20.0)
"""A stage that took twenty times what was planned, or a twentieth, was left open or ticked late."""
ROUNDS = 60


@dataclass(frozen=True)
class KitPace:
    """What is known of one kit's own pace: mean and variance of its log."""

    mean: float
    variance: float


def learn_class(kits: Sequence[KitWork]) -> ClassPace:
    """The pace of a class from what its kits have logged, and from how long they have been at the stage in hand.

    Without the stages in hand the slow ones would be missed: those are not logged yet.

    >>> slow = learn_class([KitWork((Logged(10, 20), Logged(8, 15))), KitWork((Logged(10, 22),))])
    >>> 1.3 < math.exp(slow.centre) < 2.0
    True
    """
    known = [found for found in map(_Known.of, kits) if found.logs.size or found.longer_than is not None]
    open_logs = np.array([-np.inf if one.longer_than is None else one.longer_than for one in known])
    has_open = np.isfinite(open_logs)
    sums = np.array([float(one.logs.sum()) for one in known])
    squares = np.array([float((one.logs**2).sum()) for one in known])
    counts = np.array([one.logs.size for one in known]) + has_open.astype(np.float64)
    between, within = USUAL_BETWEEN**2, USUAL_WITHIN**2
    centre, centre_variance = 0.0, USUAL_CENTRE**2
    paces = np.full(len(known), centre)
    for _ in range(ROUNDS):
        guess, spread = _beyond(open_logs, paces, math.sqrt(within))
        means = (sums + np.where(has_open, guess, 0.0)) / counts
        seconds = squares + np.where(has_open, guess**2 + spread, 0.0)
        weights = 1.0 / (between + within / counts)
        centre_variance = 1.0 / (1.0 / USUAL_CENTRE**2 + float(weights.sum()))
        centre = centre_variance * float((weights * means).sum())
        share = between * weights
        own = share * (means - centre)
        paces = centre + own
        unsure = between * (1 - share) + share**2 * centre_variance
        kit_variance = between * (1 - share) + (1 - share) ** 2 * centre_variance
        rest = seconds - 2 * paces * counts * means + counts * (paces**2 + kit_variance)
        between = (USUAL_COUNTS * USUAL_BETWEEN**2 + float((own**2 + unsure).sum())) / (USUAL_COUNTS + len(known))
        within = (USUAL_COUNTS * USUAL_WITHIN**2 + float(rest.sum())) / (USUAL_COUNTS + float(counts.sum()))
    return ClassPace(centre, centre_variance, math.sqrt(between), math.sqrt(within), len(known))


@dataclass(frozen=True)
class _Known:
    """Logs of a kit's stages, and the log that its stage in hand has passed already, if that says anything."""

    logs: Floats
    longer_than: float | None

    @staticmethod
    def of(kit: KitWork) -> _Known:
        begun = kit.current >= LEAST_PLANNED and kit.since >= LEAST_MINUTES
        longer_than = min(math.log(kit.since / kit.current), MOST_LOG) if begun else None
        return _Known(_logs(kit.logged), longer_than)


def _beyond(edge: Floats, mean: Floats, deviation: float) -> tuple[Floats, Floats]:
    """Mean and variance of a normal value that is known to be beyond `edge`."""
    z = (edge - mean) / deviation
    ratio = np.exp(-z * z / 2 - 0.5 * math.log(2 * math.pi) - log_ndtr(-z))
    ratio = np.where(np.isfinite(z), ratio, 0.0)
    slope = ratio * (ratio - np.where(np.isfinite(z), z, 0.0))
    return mean + deviation * ratio, deviation**2 * np.clip(1 - slope, 0.0, 1.0)


def kit_pace(of: ClassPace, logged: Sequence[Logged]) -> KitPace:
    """One kit's pace: what it has logged, drawn towards the class by as much as so few stages are worth.

    The variance counts that the centre and the two variances are estimates themselves (Morris 1983; from memory).
    """
    logs = _logs(logged)
    between, within = of.between**2, of.within**2
    if not logs.size:
        return KitPace(of.centre, between + of.centre_variance)
    mean = float(logs.mean())
    drawn = 1 - between / (between + within / logs.size)
    variance = between * drawn + drawn**2 * of.centre_variance
    variance += 2 / (of.kits + USUAL_COUNTS) * drawn**2 * (mean - of.centre) ** 2
    return KitPace(mean + drawn * (of.centre - mean), variance)


def _logs(logged: Sequence[Logged]) -> Floats:
    ratios = [
        one.minutes / one.planned for one in logged if one.planned >= LEAST_PLANNED and one.minutes >= LEAST_MINUTES
    ]
    return np.clip(np.log(np.array(ratios, dtype=np.float64)), -MOST_LOG, MOST_LOG)
