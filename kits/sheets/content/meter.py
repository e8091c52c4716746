"""Expected readings as they are printed: the range to set on the meter, and what it should show.

Ranges are those of a common hand-held meter of 2,000 counts, of which the highest reading is 1,999
(common practice, no published source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kits.plan.values import Reading
from kits.plan.words import place_words
from projects.circuit.fabric import LaidOut
from projects.circuit.text import Message, msg

__all__ = ["OPEN_OHMS", "ReadingRow", "meter_range", "reading_row", "situation_words"]

OPEN_OHMS = 20_000.0
"""From here on two places count as not joined, ohms."""

_RANGES: dict[str, tuple[tuple[float, str], ...]] = {
    "ohms": ((200, "200 Ω"), (2e3, "2 kΩ"), (20e3, "20 kΩ"), (200e3, "200 kΩ"), (2e6, "2 MΩ")),
    "volts": ((2, "2 V"), (20, "20 V"), (200, "200 V")),
}
_HIGHEST = 0.9995  # share of a range that 1,999 of 2,000 counts can show


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


def meter_range(kind: str, most: float) -> tuple[float, str]:
    """The smallest range that can show `most` (ohms or volts), with its name; the largest where none can."""
    ranges = _RANGES[kind]
    return next(((top, name) for top, name in ranges if abs(most) <= top * _HIGHEST), ranges[-1])


def reading_row(reading: Reading, laid_out: LaidOut) -> ReadingRow:
    """What is printed for one reading.

    What is at least so much is looked for on a range ten times as large, where OL cannot be a small leak.
    """
    if reading.max is None:
        _, set_to = meter_range(reading.kind, 10 * reading.min * _HIGHEST)
    else:
        _, set_to = meter_range(reading.kind, max(abs(reading.min), abs(reading.max)))
    return ReadingRow(
        place_words(laid_out, reading.start),
        place_words(laid_out, reading.end),
        reading.kind,
        situation_words(reading.state),
        set_to,
        _shows(reading),
    )


def _shows(reading: Reading) -> Message:
    low = _figure(reading.min, reading.kind)
    if reading.max is None:
        if reading.kind == "ohms" and reading.min >= OPEN_OHMS:
            return msg("OL or 1")
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


def situation_words(state: str) -> Message:
    """How things must stand for a reading: `cell out`, or the name of a situation, in a learner's words.

    >>> str(situation_words("S1=on, fresh"))
    'S1 on, new battery'
    """
    if state == "cell out":
        return msg("battery out")
    return _joined([_fact(fact.strip()) for fact in state.split(",")])


def _fact(fact: str) -> Message:
    if fact == "fresh":
        return msg("new battery")
    if fact == "used":
        return msg("old battery")
    what, _, how = fact.partition("=")
    return msg("{what} {how}", what=what, how=how)


def _joined(facts: Sequence[Message]) -> Message:
    joined = facts[0]
    for fact in facts[1:]:
        joined = msg("{first}, {rest}", first=joined, rest=fact)
    return joined
