"""Expected readings as they are printed: the range to set on the meter, and what it should show."""

from __future__ import annotations

import math
from dataclasses import dataclass

from checks.shine import situation_words
from kits.plan.meter import MeterKind, meter_range
from kits.plan.values import Reading
from kits.plan.words import place_words
from projects.circuit.fabric import LaidOut
from projects.circuit.text import Message, listed, msg

__all__ = ["OPEN_OHMS", "ReadingRow", "reading_row"]

OPEN_OHMS = 20_000.0
"""From here on two places count as not joined, ohms."""


@dataclass(frozen=True)
class ReadingRow:
    """One expected reading on paper.

    `start`, `end` in words; `state` how things must stand (battery out, or the switches); `set_to` the range
    to set; `shows` what the meter should show.
    """

    start: Message
    end: Message
    kind: str
    state: Message
    set_to: str
    shows: Message


def reading_row(reading: Reading, laid_out: LaidOut) -> ReadingRow:
    """What is printed for one reading.

    What is at least so much is looked for on a range ten times as large, where OL cannot be a small leak.
    """
    # 9.9 and not 10, since a range's own top is shown on the next one alone.
    most = 9.9 * reading.min if reading.max is None else max(abs(reading.min), abs(reading.max))
    return ReadingRow(
        place_words(laid_out, reading.start),
        place_words(laid_out, reading.end),
        reading.kind,
        _state_words(laid_out, reading.state),
        _range_words(reading.kind, most),
        _shows(reading),
    )


def _shows(reading: Reading) -> Message:
    low = _figure(reading.min, reading.kind)
    if reading.max is None:
        if reading.kind == "ohms" and reading.min >= OPEN_OHMS:
            return msg("OL or 1")
        # The range is set far above, so the meter shows no part of an ohm; rounded down, so that no sound work fails.
        if reading.kind == "ohms" and 10 <= reading.min < 2000:
            low = f"{math.floor(reading.min)} Ω"
        return msg("at least {low}", low=low)
    high = _figure(reading.max, reading.kind)
    return msg("{low} to {high}", low=low, high=high) if low != high else msg("{figure}", figure=low)


def _figure(value: float, kind: str) -> str:
    """A figure no finer than a hand-held meter shows it.

    >>> _figure(2.345, "ohms"), _figure(345.6, "ohms"), _figure(20_000, "ohms"), _figure(2.857, "volts")
    ('2.3 Ω', '346 Ω', '20 kΩ', '2.86 V')
    """
    if kind == "volts":
        return f"{value:.2f} V"
    if abs(value) < 100:
        return f"{value:.1f} Ω"
    return f"{value:.0f} Ω" if abs(value) < 2000 else f"{value / 1000:.4g} kΩ"


def _range_words(kind: MeterKind, most: float) -> str:
    """The range to set as it is printed.

    >>> _range_words("ohms", 3.72), _range_words("ohms", 990.0), _range_words("volts", 2.9)
    ('200 Ω', '2 kΩ', '20 V')
    """
    name = meter_range(kind, most)[1]
    return f"{name}{' ' if name[-1].isdigit() else ''}{'Ω' if kind == 'ohms' else 'V'}"


def _state_words(laid_out: LaidOut, state: str) -> Message:
    """How things must stand for a reading: `cell out`, or the name of a situation, in a learner's words."""
    return msg("battery out") if state == "cell out" else listed(situation_words(laid_out, state))
