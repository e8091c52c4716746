"""Whether a reading that was taken is as it should be, and what to look at first if it is not."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from kits.plan.meter import meter_error
from kits.plan.values import Reading
from projects.circuit.text import Message, msg

__all__ = ["Judgement", "Verdict", "judge"]

Verdict = Literal["ok", "low", "high", "open", "joined", "swapped", "over-range"]

JOINED_SHARE = 0.5
"""Below this share of the least ohms of a way through parts, the parts are bridged rather than off."""
LEAST_OHMS_OF_PARTS = 50.0
"""A way with fewer ohms is thread alone, where a low reading bridges nothing."""
NO_VOLTS = 0.1
"""A meter with nothing between its tips shows up to so many volts (common practice, no published source)."""


@dataclass(frozen=True)
class Judgement:
    """`open`: not joined though it should be; `joined`: joined though it should not be; `swapped`: minus volts.

    `over-range`: the meter shows OL or 1 in volts, which says only that its range is too small.
    `look_first` is what to look at, None where all is well. Both texts are for a learner.
    """

    verdict: Verdict
    text: Message
    look_first: Message | None = None

    @property
    def ok(self) -> bool:
        return self.verdict == "ok"


def judge(reading: Reading, value: float | None) -> Judgement:
    """Judge a value in ohms or volts; None where the meter shows OL or 1 (open).

    What is within the expected bounds, and within what a sound meter may be off, is ok. ValueError if the value is
    infinite or not a number.
    """
    if value is not None and not math.isfinite(value):
        raise ValueError("A reading is a plain number; OL or 1 on the meter is None.")
    if reading.kind == "volts":
        return _judge_volts(reading, value)
    if reading.max is None:
        return _judge_apart(reading, value)
    return _judge_ohms(reading, value, reading.max)


def _ok(text: Message) -> Judgement:
    return Judgement("ok", text)


def _places(reading: Reading) -> dict[str, object]:
    """The two ends by part, or by meeting point: what is printed beside each hole stands in the reading's own text."""
    names = [node.removeprefix("@") if node.startswith("@") else node.partition(".")[0] for node in _ends(reading)]
    return {"start": names[0], "end": names[1]}


def _ends(reading: Reading) -> tuple[str, str]:
    return reading.start, reading.end


def _minus_ohms() -> Judgement:
    text = msg("Ohms can not be minus. Is the battery still in?")
    return Judgement("low", text, msg("Take the battery out. Then measure again."))


def _judge_apart(reading: Reading, value: float | None) -> Judgement:
    """At least `min` is right; so is open."""
    if value is None or value >= reading.min - meter_error("ohms", reading.min, reading.min):
        return _ok(msg("Good. These two do not touch."))
    if value < 0:
        return _minus_ohms()
    text = msg("These two are joined. They must not be.")
    look = msg(
        "Lift your fingers off the tips and try again. Then look near {start} and {end} for thread that touches: "
        "a long tail, a loose loop, or two lines that cross.",
        **_places(reading),
    )
    return Judgement("joined", text, look)


def _judge_ohms(reading: Reading, value: float | None, most: float) -> Judgement:
    if value is None:
        return _open(reading)
    least = reading.min - meter_error("ohms", reading.min, most)
    if value < min(0.0, least):
        return _minus_ohms()
    if value < least:
        return _too_few_ohms(reading, value)
    if value <= most + meter_error("ohms", most, most):
        return _ok(msg("Good. The thread joins these two."))
    if reading.most is not None and value <= reading.most + meter_error("ohms", reading.most, most):
        return _ok(msg("Good. It is a bit more than it should be, but the thread joins these two."))
    if value >= max(20_000.0, 2 * most):
        return _open(reading)
    text = msg("That is more than it should be. The thread may be loose.")
    look = msg(
        "Press the tips down hard and try again. Then look at the three tight stitches at {start} and at {end}. "
        "Are they snug?",
        **_places(reading),
    )
    return Judgement("high", text, look)


def _open(reading: Reading) -> Judgement:
    text = msg("These two are not joined. They should be.")
    look = msg(
        "Press the tips on bare thread and try again. Then look at {start} and at {end}: is the thread in the hole? "
        "Follow the line from one to the other. Is it cut, or not sewn?",
        **_places(reading),
    )
    return Judgement("open", text, look)


def _too_few_ohms(reading: Reading, value: float) -> Judgement:
    if reading.min >= LEAST_OHMS_OF_PARTS and value < JOINED_SHARE * reading.min:
        text = msg("That is much less than it should be. Thread may touch.")
        look = msg(
            "Look for a thread that goes past a part between {start} and {end}: a tail, a loop, or two lines that "
            "cross.",
            **_places(reading),
        )
        return Judgement("joined", text, look)
    text = msg("That is less than it should be.")
    look = msg("Did you take off what the meter shows with its tips held together? Take it off once. Measure again.")
    return Judgement("low", text, look)


def _judge_volts(reading: Reading, value: float | None) -> Judgement:
    most = reading.min if reading.max is None else reading.max
    if value is None:
        text = msg("The meter shows more than its range.")
        return Judgement("over-range", text, msg("Set the meter to 20 V, and try again."))
    if reading.max is not None and value > most + meter_error("volts", most, most):
        text = msg("That is more than it should be.")
        look = msg("Look at {start}: is its thread snug in both holes? Is it the right part?", **_places(reading))
        return Judgement("high", text, look)
    if value >= reading.min - meter_error("volts", reading.min, most):
        return _ok(msg("Good. This part gets the volts it should."))
    if value < -NO_VOLTS:
        text = msg("The number has a minus. The tips are the wrong way round, or the battery is.")
        return Judgement("swapped", text, msg("Swap the tips. Is there still a minus? Then turn the battery over."))
    if value <= NO_VOLTS:
        text = msg("There are no volts here.")
        return Judgement("low", text, msg("Is the battery in? Is the switch on? Then look for a gap in the thread."))
    text = msg("That is less than it should be.")
    look = msg("Try a new battery. Is it warm? Take it out at once, and look for threads that touch.")
    return Judgement("low", text, look)
