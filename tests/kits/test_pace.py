"""Pace: the interval covers what it says on classes played through; presence, stuck and outlook by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kits.pace.estimate import kit_pace, learn_class
from kits.pace.forecast import forecast, outlook
from kits.pace.presence import Presence, logged_by_stage, minutes_present
from kits.pace.stuck import is_stuck
from kits.pace.values import ClassPace, Forecast, KitWork, Logged
from kits.pace.work import kit_work
from kits.plan.make import make_plan
from kits.plan.progress import Advance, advances, progress_of
from kits.progress import Tick
from projects.circuit import project_file
from tests.kits.plan_documents import LANTERN
from tests.kits.simulated_classes import SimulatedKit, simulated_classes

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)


def at(minutes: float) -> datetime:
    return NOON + timedelta(minutes=minutes)


def work_of(kit: SimulatedKit) -> KitWork:
    return KitWork(tuple(Logged(*done) for done in kit.done), kit.current, kit.since, kit.ahead)


@cache
def played(
    seed: int, by_steps: bool, classes: int = 150, kits: int = 24
) -> list[tuple[SimulatedKit, Forecast, ClassPace]]:
    """Kits that are not done yet, with what is forecast of each from its class."""
    found = []
    for members in simulated_classes(seed, classes, kits, by_steps):
        work = [work_of(kit) for kit in members]
        of = learn_class(work)
        found += [(kit, one, of) for kit, one in zip(members, forecast(of, work), strict=True) if kit.truly_left > 0]
    return found


def shares(pairs: list[tuple[SimulatedKit, Forecast, ClassPace]]) -> tuple[float, float, float]:
    """Of all kits: below the interval, in it, above it."""
    below = sum(kit.truly_left < one.low for kit, one, _ in pairs) / len(pairs)
    above = sum(kit.truly_left > one.high for kit, one, _ in pairs) / len(pairs)
    return below, 1 - below - above, above


@pytest.mark.parametrize("by_steps", [False, True])
def test_the_interval_covers_four_in_five(by_steps: bool) -> None:
    """150 classes of 24 with a fixed seed; log-normal stages, and stages of many small steps."""
    pairs = played(20260306, by_steps)
    assert len(pairs) >= 2000
    below, inside, above = shares(pairs)
    assert 0.75 <= inside <= 0.85
    assert 0.05 <= below <= 0.15
    assert 0.05 <= above <= 0.15


def test_the_interval_covers_four_in_five_in_small_classes_too() -> None:
    pairs = played(4, False, classes=500, kits=6)
    assert len(pairs) >= 2000
    assert 0.75 <= shares(pairs)[1] <= 0.85


def narrower(one: Forecast) -> Forecast:
    return Forecast(
        one.factor, one.likely * (one.low / one.likely) ** 0.6, one.likely, one.likely * (one.high / one.likely) ** 0.6
    )


def by_the_plan(one: Forecast) -> Forecast:
    """As if every kit kept to the plan."""
    return Forecast(1.0, one.low / one.factor, one.likely / one.factor, one.high / one.factor)


@pytest.mark.parametrize("wrong", [narrower, by_the_plan])
def test_a_wrong_interval_would_be_caught(wrong: Callable[[Forecast], Forecast]) -> None:
    pairs = [(kit, wrong(one), of) for kit, one, of in played(20260306, False)]
    assert not 0.75 <= shares(pairs)[1] <= 0.85


def test_drawing_a_kit_towards_its_class_is_nearer_the_truth_than_the_kit_or_the_class_alone() -> None:
    drawn, alone, together = [], [], []
    for kit, one, of in played(7, False):
        truth = math.log(kit.truly_left)
        planned = kit.current + sum(kit.ahead)
        logs = [math.log(real / planned) for planned, real in kit.done]
        drawn.append((math.log(one.likely) - truth) ** 2)
        own = sum(logs) / len(logs) if logs else of.centre
        alone.append((math.log(planned) + own - truth) ** 2)
        together.append((math.log(planned) + of.centre - truth) ** 2)
    assert sum(drawn) < 0.97 * min(sum(alone), sum(together))


def test_a_class_that_nothing_is_known_of_keeps_to_the_plan_by_and_large() -> None:
    of = learn_class([])
    (one,) = forecast(of, [KitWork(left=(10.0, 10.0, 10.0))])
    assert one.factor == pytest.approx(1.0)
    assert one.low < 30 < one.high
    assert 25 < one.likely < 40


def test_a_slow_kit_in_a_class_that_keeps_to_the_plan() -> None:
    """One stage says little of a kit; five of the same pace say much."""
    usual = [KitWork(tuple(Logged(10, 10 * 1.05 ** (n % 3 - 1)) for n in range(5))) for _ in range(20)]
    once, often = KitWork((Logged(10, 20),), left=(10,)), KitWork((Logged(10, 20),) * 5, left=(10,))
    of = learn_class([*usual, often])
    first, second = forecast(of, [once, often])
    assert 1.0 < first.factor < second.factor < 2.0
    assert kit_pace(of, often.logged).variance < kit_pace(of, once.logged).variance


def test_one_who_is_long_past_the_plan_is_not_done_at_once() -> None:
    of = learn_class([])
    minutes = [forecast(of, [KitWork(current=10.0, since=since)])[0].likely for since in (20, 60, 600)]
    assert minutes == sorted(minutes)
    assert forecast(of, [KitWork()])[0] == Forecast(1.0, 0.0, 0.0, 0.0)
    assert forecast(of, []) == []


@given(
    st.lists(st.tuples(st.floats(0, 1e4), st.floats(0, 1e4)), max_size=4),
    st.floats(0, 1e4),
    st.floats(0, 1e6),
    st.lists(st.floats(0, 1e4), max_size=4),
)
def test_no_figure_is_ever_nonsense(
    logged: list[tuple[float, float]], current: float, since: float, left: list[float]
) -> None:
    kit = KitWork(tuple(Logged(*one) for one in logged), current, since, tuple(left))
    of = learn_class([kit, KitWork((Logged(5, 6),))])
    (one,) = forecast(of, [kit])
    assert all(math.isfinite(value) for value in (one.factor, one.low, one.likely, one.high))
    assert 0 <= one.low <= one.likely <= one.high
    assert one.factor > 0


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(60, "fine"), (40, "fine"), (39, "tight"), (20, "tight"), (19, "will-not-finish"), (0, "will-not-finish")],
)
def test_what_it_means_for_today(minutes: float, said: str) -> None:
    assert outlook(Forecast(1.0, 20, 30, 40), minutes) == said


def test_a_finished_kit_is_fine_even_when_time_is_up() -> None:
    assert outlook(Forecast(1.0, 0, 0, 0), 0) == "fine"


def test_minutes_present() -> None:
    there = [Presence(at(0), at(30)), Presence(at(20), at(40)), Presence(at(100), None)]
    assert minutes_present(there, at(10), at(120)) == pytest.approx(30 + 20)
    assert minutes_present(there, at(45), at(90)) == 0
    assert minutes_present([], at(0), at(10)) == 0
    assert minutes_present(there, at(30), at(10)) == 0


def test_time_absent_is_in_no_stages_log() -> None:
    done = [Advance(at(10), "plus", 5.0), Advance(at(100), "plus", 3.0), Advance(at(110), "minus", 4.0)]
    there = [Presence(at(0), at(20)), Presence(at(90), at(120))]
    logged, last = logged_by_stage(done, there, at(0))
    assert logged == {"plus": Logged(8.0, 10 + 10 + 10), "minus": Logged(4.0, 10)}
    assert last == at(110)


def test_stages_ticked_together_share_the_time_by_what_was_planned() -> None:
    done = [Advance(at(30), "plus", 5.0), Advance(at(30), "minus", 10.0)]
    logged, _ = logged_by_stage(done, [Presence(at(0))], at(0))
    assert logged == {"plus": Logged(5.0, pytest.approx(10)), "minus": Logged(10.0, pytest.approx(20))}


@pytest.mark.parametrize(
    ("planned", "since", "present", "waiting", "stuck"),
    [
        (10, 19.9, True, False, False),
        (10, 20, True, False, True),
        (10, 200, False, False, False),
        (10, 200, True, True, False),
        (0.5, 3.9, True, False, False),
        (0.5, 4.0, True, False, True),
    ],
)
def test_stuck_is_twice_the_planned_time_while_present(
    planned: float, since: float, present: bool, waiting: bool, stuck: bool
) -> None:
    assert is_stuck(planned, since, present=present, waiting=waiting) == stuck


def test_the_work_of_a_kit_from_its_events() -> None:
    """The plan's first two stages took twice as long as planned; of the third the first steps are done."""
    plan = make_plan(project_file.read(LANTERN.read_bytes()))
    mark, tried, plus, *rest = plan.stages
    first, second = 2 * mark.minutes, 2 * (mark.minutes + tried.minutes)
    ticks = [
        Tick("signed-off", mark.name, at(first)),
        Tick("stage-done", tried.name, at(second)),
        *(Tick("step-done", "", at(second + 5), step=step.key) for step in plus.steps[:4]),
    ]
    progress, done = progress_of(plan, ticks), list(advances(plan, ticks))
    work = kit_work(progress, done, [Presence(at(0))], begun_at=at(0), now=at(second + 8))
    part = sum(step.minutes for step in plus.steps[:4])
    assert work.logged == (
        Logged(pytest.approx(mark.minutes), pytest.approx(2 * mark.minutes)),
        Logged(pytest.approx(tried.minutes), pytest.approx(2 * tried.minutes)),
        Logged(pytest.approx(part), pytest.approx(5)),
    )
    assert work.current == pytest.approx(plus.minutes - part)
    assert work.since == pytest.approx(3)
    assert work.left == pytest.approx(tuple(stage.minutes for stage in rest))
