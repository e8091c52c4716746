"""What is done, now and next, from events alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kits.plan.make import make_plan
from kits.plan.progress import Progress, advances, progress_of
from kits.progress import Tick
from projects.circuit import project_file
from tests.kits.plan_documents import LANTERN

PLAN = make_plan(project_file.read(LANTERN.read_bytes()))
STEPS = [step for stage in PLAN.stages for step in stage.steps]
KEYS = [step.key for step in STEPS]
NOW = datetime(2026, 3, 6, 15, 0, tzinfo=UTC)


def ticks_of(*events: str | tuple[str, float | None]) -> list[Tick]:
    """`step-done=key`, `stage-done=stage`, or (key, value) for a reading; a minute apart."""
    found = []
    for at, event in enumerate(events):
        when = NOW + timedelta(minutes=at)
        if isinstance(event, tuple):
            found.append(Tick("reading-taken", "", when, step=event[0], value=event[1]))
            continue
        kind, _, what = event.partition("=")
        is_step = kind.startswith("step")
        found.append(Tick(kind, "" if is_step else what, when, step=what if is_step else "", text=f"about {at}"))
    return found


def after(*events: str | tuple[str, float | None]) -> Progress:
    return progress_of(PLAN, ticks_of(*events))


def step_by_step(until: str) -> list[str]:
    """Every step before one, in order, with a sign-off at each look."""
    events = []
    for key in KEYS[: KEYS.index(until)]:
        events.append(f"signed-off={key.removeprefix('look:')}" if key.startswith("look:") else f"step-done={key}")
    return events


def test_step_after_step_to_the_end() -> None:
    events: list[str] = []
    for at, key in enumerate(KEYS):
        progress = after(*events)
        assert progress.now is not None
        assert progress.now.key == key
        following = [one.key for one in STEPS[at + 1 :]]
        assert progress.next is None if not following else progress.next.key == following[0]
        assert progress.before is None if at == 0 else progress.before.key == KEYS[at - 1]
        assert (progress.waiting_for_look is not None) == key.startswith("look:")
        events.append(f"signed-off={key.removeprefix('look:')}" if key.startswith("look:") else f"step-done={key}")
    finished = after(*events)
    assert (finished.now, finished.stage, finished.minutes_left) == (None, None, 0)
    assert finished.stages_done == tuple(stage.name for stage in PLAN.stages)
    assert finished.minutes_done == pytest.approx(PLAN.minutes)


def test_a_look_is_given_by_a_sign_off_alone() -> None:
    waiting = after(*step_by_step("look:mark"), "step-done=look:mark")
    assert waiting.waiting_for_look == "mark"
    assert after(*step_by_step("look:mark"), "signed-off=mark").waiting_for_look is None


def test_the_look_before_the_battery_leaves_the_test_itself_to_do() -> None:
    looked = after(*step_by_step("look:test"), "signed-off=test")
    assert looked.now is not None
    assert looked.now.key == "test:cell-in:B1"


def test_in_paper_mode_a_sign_off_is_the_whole_stage() -> None:
    names = [stage.name for stage in PLAN.stages]
    progress = after(*(f"signed-off={name}" for name in names[: names.index("close and finish")]))
    assert progress.stage is not None
    assert progress.stage.name == "close and finish"
    assert progress.lines_done == {"s1", "s2", "s3", "s4", "s5", "s6"}


def test_a_tick_taken_back_takes_back_what_it_did_and_no_more() -> None:
    some = step_by_step("sew:s1")
    ticked = after(*some, "stage-done=positive side")
    assert ticked.lines_done == {"s1", "s2", "s3"}
    back = after(*some, "stage-done=positive side", "stage-undone=positive side")
    assert back.now is not None
    assert (back.now.key, back.lines_done) == ("sew:s1", {"s3"})
    alone = after(*step_by_step("read:apart:plus:L1.minus"), "step-done=read:apart:plus:L1.minus")
    assert alone.stage is not None
    assert alone.stage.name == "negative side"
    opened = after(
        *step_by_step("read:apart:plus:L1.minus"),
        "step-done=read:apart:plus:L1.minus",
        "stage-undone=positive side",
    )
    assert opened.now is not None
    assert opened.now.key == "read:apart:plus:L1.minus"


def test_sent_back_says_why_and_keeps_what_is_sewn() -> None:
    done = [f"signed-off={stage.name}" for stage in PLAN.stages[:3]]
    back = after(*done, "sent-back=positive side")
    assert back.now is not None
    assert (back.now.key, back.reason) == ("read:apart:plus:L1.minus", "about 3")
    assert back.lines_done == {"s1", "s2", "s3"}
    assert after(*done, "sent-back=positive side", "step-done=read:apart:plus:L1.minus").reason == ""


def test_a_good_reading_does_its_step_and_a_bad_one_leaves_it() -> None:
    key = "read:along:s3"
    begun = step_by_step(key)
    bad = after(*begun, (key, None))
    assert bad.now is not None
    assert bad.now.key == key
    taken = bad.newest(key)
    assert taken is not None
    assert taken.judgement is not None
    assert taken.judgement.verdict == "open"
    good = after(*begun, (key, None), (key, 2.9))
    assert good.now is not None
    assert good.now.key == "read:apart:plus:L1.minus"
    assert [one.value for one in good.readings] == [None, 2.9]
    assert after(*begun, ("read:nothing", 3.0)).readings[0].judgement is None


def test_lines_done_now_and_next_for_the_drawing() -> None:
    assert after(*step_by_step("sew:s3")).line_states == {"s3": "now", "s1": "next"}
    assert after(*step_by_step("sew:s1")).line_states == {"s3": "done", "s1": "now", "s2": "next"}
    assert after(*step_by_step("turn:s2")).line_states["s2"] == "now"
    ended = after(*step_by_step("cut:s6"))
    assert ended.line_states == {"s1": "done", "s2": "done", "s3": "done", "s6": "now", "s5": "next"}


def test_an_optional_step_that_was_passed_over_is_not_asked_for_again() -> None:
    (optional,) = [step.key for step in STEPS if step.optional]
    events = [event for event in step_by_step("tack:S1" if "tack:S1" in KEYS else "seal") if optional not in event]
    progress = after(*events)
    assert progress.now is not None
    assert progress.now.key != optional
    assert "test" in progress.stages_done


def test_steps_of_another_plan_change_nothing() -> None:
    odd = ("step-done=sew:s99", "signed-off=nothing", "sent-back=nothing", "stage-undone=x", "stage-done=y", "note=z")
    assert after(*odd) == after()


def test_what_got_done_when() -> None:
    ticks = ticks_of(*step_by_step("sew:s1"), "stage-done=positive side", "signed-off=mark")
    got = list(advances(PLAN, ticks))
    assert sum(one.planned_minutes for one in got) == pytest.approx(sum(stage.minutes for stage in PLAN.stages[:3]))
    assert got[-1].stage == "positive side"
    assert got[-1].at == ticks[-2].at


EVENTS = st.lists(
    st.one_of(
        st.sampled_from(["step-done", "step-undone"]).flatmap(
            lambda kind: st.sampled_from(KEYS).map(f"{kind}={{}}".format)
        ),
        st.sampled_from(["stage-done", "stage-undone", "signed-off", "sent-back"]).flatmap(
            lambda kind: st.sampled_from([stage.name for stage in PLAN.stages]).map(f"{kind}={{}}".format)
        ),
        st.tuples(st.sampled_from([one.key for one in PLAN.readings]), st.one_of(st.none(), st.floats(0, 1e5))),
    ),
    max_size=30,
)


@given(EVENTS)
def test_whatever_happens_the_parts_agree(events: list[str | tuple[str, float | None]]) -> None:
    progress = after(*events)
    assert progress.done <= set(KEYS)
    assert progress.minutes_done + progress.minutes_left == pytest.approx(PLAN.minutes)
    assert (progress.now is None) == (not progress.left)
    assert {f"look:{stage}" for stage in progress.looked} & progress.done == {
        key for key in progress.done if key.startswith("look:")
    }
    states = list(progress.line_states.values())
    assert states.count("now") <= 1
    assert states.count("next") <= 1
    if progress.now is not None:
        assert progress.now.key not in progress.done
