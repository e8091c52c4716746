"""Minutes that a kit still needs, with an 80 % interval, and what that means for today."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

from kits.pace.estimate import LEAST_MINUTES, kit_pace
from kits.pace.values import ClassPace, Forecast, KitWork, Outlook

__all__ = ["SHARES", "forecast", "outlook"]

Floats = NDArray[np.float64]

SHARES = (0.1, 0.5, 0.9)
"""Below low, likely and high lie these shares of all that may come."""
_NODES = np.linspace(-4.0, 4.0, 41)
"""Paces at which the rest is worked out, in standard deviations from the kit's own."""
_HALVINGS = 30


def forecast(of: ClassPace, kits: Sequence[KitWork]) -> list[Forecast]:
    """Minutes left of each kit, in the order given; a kit with nothing left needs none.

    At each pace that a kit may have, minutes left are a sum of log-normal stages, taken as log-normal itself (Fenton
    1960; from memory); the stage in hand is known to take longer than it has already. The answer is the mixture over
    all paces, each by how likely it is now.
    """
    if not kits:
        return []
    paces = [kit_pace(of, kit.logged) for kit in kits]
    busy = [at for at, kit in enumerate(kits) if kit.current + sum(kit.left) >= LEAST_MINUTES]
    found = [Forecast(math.exp(pace.mean), 0.0, 0.0, 0.0) for pace in paces]
    if busy:
        means = np.array([paces[at].mean for at in busy])
        spreads = np.sqrt([paces[at].variance for at in busy])
        at_paces = means[:, None] + spreads[:, None] * _NODES
        weights, centre, width = _mixture(of.within, at_paces, [kits[at] for at in busy])
        low, likely, high = (_quantile(share, weights, centre, width).tolist() for share in SHARES)
        for row, at in enumerate(busy):
            found[at] = Forecast(math.exp(paces[at].mean), low[row], likely[row], high[row])
    return found


def _mixture(within: float, paces: Floats, kits: Sequence[KitWork]) -> tuple[Floats, Floats, Floats]:
    """Weight, and mean and spread of the log of minutes left, by kit and pace; each of shape (kits, paces)."""
    planned = np.array([sum(kit.left) for kit in kits])[:, None]
    squares = np.array([sum(part * part for part in kit.left) for kit in kits])[:, None]
    variance = within * within
    mean = np.exp(paces + variance / 2) * planned
    spread = np.exp(2 * paces + variance) * np.expm1(variance) * squares
    log_weights = np.broadcast_to(-_NODES * _NODES / 2, paces.shape).copy()
    in_hand = np.array([kit.current for kit in kits])
    begun = in_hand >= LEAST_MINUTES
    if begun.any():
        since = np.array([kit.since for kit in kits])
        more, more_spread, longer = _in_hand(within, paces[begun], in_hand[begun], since[begun])
        mean[begun] += more
        spread[begun] += more_spread
        log_weights[begun] += longer
    weights = np.exp(log_weights - log_weights.max(axis=1, keepdims=True))
    weights /= weights.sum(axis=1, keepdims=True)
    width = np.log1p(spread / (mean * mean))
    return weights, np.log(mean) - width / 2, np.sqrt(width)


def _in_hand(within: float, paces: Floats, planned: Floats, since: Floats) -> tuple[Floats, Floats, Floats]:
    """Mean and variance of the minutes left of the stage in hand, and the log of the chance that it takes so long."""
    usual = paces + np.log(planned)[:, None]
    taken = np.maximum(since, LEAST_MINUTES)[:, None]
    edge = (np.log(taken) - usual) / within
    longer = log_ndtr(-edge)
    first = np.exp(usual + within**2 / 2 + log_ndtr(within - edge) - longer)
    second = np.exp(2 * usual + 2 * within**2 + log_ndtr(2 * within - edge) - longer)
    # Far out in the tail the differences are lost in rounding: then some of what was taken is still to come.
    mean = np.maximum(first - taken, 1e-3 * taken)
    variance = np.maximum(second - first * first, 1e-6 * mean * mean)
    return mean, variance, longer


def _quantile(share: float, weights: Floats, centre: Floats, width: Floats) -> Floats:
    """Minutes below which lies that share of each row's mixture, by halving on the log."""
    width = np.maximum(width, 1e-9)
    low = (centre - 8 * width).min(axis=1)
    high = (centre + 8 * width).max(axis=1)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        below = (weights * ndtr((middle[:, None] - centre) / width)).sum(axis=1) < share
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    minutes: Floats = np.exp((low + high) / 2)
    return minutes


def outlook(found: Forecast, minutes_today: float) -> Outlook:
    """Whether a kit gets done in the minutes left for it today (setting out and counting back taken off).

    >>> outlook(Forecast(1.0, 20, 30, 40), 45), outlook(Forecast(1.0, 20, 30, 40), 30)
    ('fine', 'tight')
    """
    if found.high <= minutes_today:
        return "fine"
    return "tight" if found.low <= minutes_today else "will-not-finish"
