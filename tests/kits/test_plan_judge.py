"""What a reading that was taken says: by hand, and for every value from none to far too much."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kits.plan.judge import judge
from kits.plan.make import make_plan
from kits.plan.values import Reading
from projects.circuit import project_file
from projects.circuit.text import msg
from tests.checks.reading_grade import reading_grade
from tests.kits.plan_documents import LANTERN, porch

LANTERN_PLAN = make_plan(project_file.read(LANTERN.read_bytes()))


def ohms(low: float, high: float | None) -> Reading:
    return Reading("B1.p1", "L1.plus", "ohms", "cell out", None, low, high, "plus", msg("measure"))


def volts(low: float, high: float) -> Reading:
    return Reading("L1.plus", "L1.minus", "volts", "S1=on, fresh", None, low, high, "test", msg("measure"))


THREAD, APART, BOARD, RESISTOR = ohms(2.0, 4.0), ohms(20_000, None), ohms(100, None), ohms(200, 240)


@pytest.mark.parametrize(
    ("reading", "value", "verdict"),
    [
        (THREAD, 3.0, "ok"),
        (THREAD, 4.2, "ok"),  # 1 % and two tenths of an ohm off
        (THREAD, 4.3, "high"),
        (THREAD, 1.8, "ok"),
        (THREAD, 1.7, "low"),
        (THREAD, 900.0, "high"),
        (THREAD, 30_000.0, "open"),
        (THREAD, None, "open"),
        (THREAD, -5.0, "low"),
        (APART, None, "ok"),
        (APART, 20_000.0, "ok"),
        (APART, 3.0, "joined"),
        (APART, -3.0, "low"),
        (BOARD, 470.0, "ok"),
        (BOARD, None, "ok"),
        (BOARD, 3.0, "joined"),
        (RESISTOR, 220.0, "ok"),
        (RESISTOR, 3.0, "joined"),
        (RESISTOR, 180.0, "low"),
        (volts(2.6, 3.3), 2.9, "ok"),
        (volts(2.6, 3.3), 3.35, "ok"),
        (volts(2.6, 3.3), 3.4, "high"),
        (volts(2.6, 3.3), 2.0, "low"),
        (volts(2.6, 3.3), 0.0, "low"),
        (volts(2.6, 3.3), -2.9, "swapped"),
        (volts(2.6, 3.3), None, "over-range"),
    ],
)
def test_verdicts(reading: Reading, value: float | None, verdict: str) -> None:
    found = judge(reading, value)
    assert found.verdict == verdict
    assert found.ok == (verdict == "ok")
    assert (found.look_first is None) == found.ok


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="plain number"):
        judge(THREAD, value)


@given(st.sampled_from([*LANTERN_PLAN.readings, *make_plan(porch()).readings]), st.floats(0, 1), st.floats(-1, 1))
def test_a_sound_reading_is_never_refused(reading: Reading, share: float, off: float) -> None:
    """Anything between the bounds, shown by a meter that is 1 % and two digits of the 200 ohm or 20 V range off."""
    most = reading.max if reading.max is not None else 10 * reading.min
    truth = reading.min + share * (most - reading.min)
    digit = 0.1 if reading.kind == "ohms" else 0.01
    shown = truth + off * 0.00999999 * truth + off * (2 * digit if most < 1.99 * 1000 * digit else 0.0)
    assert judge(reading, shown).ok


def test_poor_anchors_that_are_sound_are_not_refused() -> None:
    """Two anchors of 5 ohm in place of 0.5 each, and thread at its worst."""
    reading = next(one for one in LANTERN_PLAN.readings if one.key == "read:along:s4")
    assert reading.max is not None
    assert reading.most == pytest.approx(reading.max + 2 * 4.5)
    assert judge(reading, reading.max + 8).ok
    assert judge(reading, reading.max + 11).verdict == "high"


@given(st.sampled_from([THREAD, APART, BOARD, RESISTOR, volts(1.7, 2.1)]), st.floats(0, 1e7))
def test_words_are_short_ones(reading: Reading, value: float) -> None:
    found = judge(reading, value)
    assert reading_grade(str(found.text)) <= 4.5
    if found.look_first is not None:
        assert reading_grade(str(found.look_first)) <= 4.5
