"""Sewing step by step: what is logged, what the board makes of it, and what may be taken back."""

from __future__ import annotations

import pytest

from kits.models import Event, Kit
from kits.services.access import Person
from kits.services.layouts import NotNow
from kits.services.sewing import Sewing, read_sewing
from kits.services.stage_ticks import send_stage_back, sign_off_stage, tick_stage, untick_stage
from kits.services.states import state_of_kit
from kits.services.steps import take_reading, tick_step, untick_step
from tests.kits.factories import handed_in, make_user, make_workshop, sewing

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    workshop = make_workshop(make_user("teacher"), kits=2, names=("Ayo",))
    return sewing(workshop.kits.select_related("workshop__owner").get(number=1))


def learner(kit: Kit) -> Person:
    return Person(kit=kit, learner=kit.learners.first())


def teacher(kit: Kit) -> Person:
    return Person(user=kit.workshop.owner)


def read(kit: Kit) -> Sewing:
    found = read_sewing(Kit.objects.get(pk=kit.pk))
    assert found is not None
    return found


def now(kit: Kit) -> str:
    step = read(kit).progress.now
    return step.key if step is not None else ""


def go_on(kit: Kit, until: str) -> None:
    """Do steps, with readings as they should be and looks given, until the one to do begins with `until`."""
    expected = {reading.key: reading for reading in read(kit).progress.plan.readings}
    for _ in range(200):
        key = now(kit)
        if not key or key.startswith(until):
            return
        if key.startswith("look:"):
            sign_off_stage(kit, key.removeprefix("look:"), teacher(kit))
        elif key in expected:
            assert take_reading(kit, key, expected[key].expected, learner(kit)).ok
        else:
            tick_step(kit, key, learner(kit))
    raise AssertionError(f"never came to {until}")


def test_a_kit_is_sewn_from_the_first_step_to_the_last(kit: Kit) -> None:
    go_on(kit, "nowhere")
    progress, state = read(kit).progress, state_of_kit(kit)
    assert progress.now is None
    assert progress.minutes_left == 0
    assert state.phase == "finished"
    assert state.done == {stage.name for stage in progress.plan.stages}
    logged = sum(kit.events.exclude(minutes=None).values_list("minutes", flat=True))
    looks = sum(s.minutes for stage in progress.plan.stages for s in stage.steps if s.key.startswith("look:"))
    assert logged == pytest.approx(progress.plan.minutes - looks)


def test_after_every_step_the_board_says_what_the_steps_say(kit: Kit) -> None:
    for _ in range(200):
        key = now(kit)
        if not key:
            break
        found, state = read(kit).progress, state_of_kit(kit)
        assert state.done == set(found.stages_done)
        assert state.waiting_for_look == found.waiting_for_look
        assert found.stage is not None
        assert state.current == found.stage.name
        go_on_one(kit, key)
    assert state_of_kit(kit).phase == "finished"


def go_on_one(kit: Kit, key: str) -> None:
    if key.startswith("look:"):
        sign_off_stage(kit, key.removeprefix("look:"), teacher(kit))
    else:
        tick_step(kit, key, learner(kit))


def test_a_step_ticked_twice_is_ticked_once(kit: Kit) -> None:
    key = now(kit)
    tick_step(kit, key, learner(kit))
    tick_step(kit, key, learner(kit))
    assert kit.events.filter(kind=Event.Kind.STEP_DONE, step=key).count() == 1


def test_steps_come_in_their_order_and_looks_are_given_by_others(kit: Kit) -> None:
    with pytest.raises(NotNow, match="in order"):
        tick_step(kit, "tie:s2", learner(kit))
    with pytest.raises(NotNow, match="plan has changed"):
        tick_step(kit, "embroider", learner(kit))
    go_on(kit, "look:mark")
    with pytest.raises(NotNow, match="Show your teacher"):
        tick_step(kit, "look:mark", learner(kit))
    with pytest.raises(NotNow, match="in order"):
        take_reading(kit, read(kit).progress.plan.readings[0].key, 3.0, learner(kit))
    with pytest.raises(NotNow, match="no reading"):
        take_reading(kit, "look:mark", 3.0, learner(kit))


def test_no_step_is_done_before_a_layout_is_accepted(kit: Kit) -> None:
    other = kit.workshop.kits.get(number=2)
    with pytest.raises(NotNow, match="not accepted"):
        tick_step(other, "mark:hoop", Person(kit=other))
    handed_in(other)
    with pytest.raises(NotNow, match="not accepted"):
        untick_step(other, "mark:hoop", Person(kit=other))


def test_back_is_possible_until_somebody_has_looked(kit: Kit) -> None:
    go_on(kit, "look:mark")
    last = read(kit).progress.before
    assert last is not None
    untick_step(kit, last.key, learner(kit))
    assert now(kit) == last.key
    assert state_of_kit(kit).waiting_for_look is None
    go_on(kit, "try:")
    with pytest.raises(NotNow, match="has looked"):
        untick_step(kit, last.key, learner(kit))
    untick_step(kit, last.key, teacher(kit))
    assert now(kit) == last.key


def test_a_step_after_a_look_may_be_taken_back_and_the_look_stands(kit: Kit) -> None:
    go_on(kit, "look:test")
    sign_off_stage(kit, "test", teacher(kit))
    after = now(kit)
    tick_step(kit, after, learner(kit))
    untick_step(kit, after, learner(kit))
    assert now(kit) == after
    assert state_of_kit(kit).waiting_for_look is None
    assert "test" in state_of_kit(kit).signed
    assert state_of_kit(kit).current == "test"


def test_a_reading_that_is_off_leaves_its_step_to_do_and_says_what_to_look_at(kit: Kit) -> None:
    go_on(kit, "read:")
    key = now(kit)
    judged = take_reading(kit, key, None, learner(kit))
    assert judged.verdict == "open"
    assert judged.look_first is not None
    assert now(kit) == key
    assert take_reading(kit, key, 3.0, learner(kit)).ok
    assert now(kit) != key
    taken = read(kit).progress.readings
    assert [one.value for one in taken] == [None, 3.0]
    logged = kit.events.filter(kind=Event.Kind.READING_TAKEN).order_by("pk").values_list("minutes", flat=True)
    assert list(logged) == [None, pytest.approx(1.0)]


def test_without_a_meter_one_may_go_on(kit: Kit) -> None:
    go_on(kit, "read:")
    key = now(kit)
    tick_step(kit, key, learner(kit))
    assert key in read(kit).progress.done


def test_a_stage_sent_back_opens_its_last_step_with_the_reason(kit: Kit) -> None:
    go_on(kit, "look:mark")
    send_stage_back(kit, "mark", teacher(kit), "The holder is too low.")
    assert read(kit).progress.reason == "The holder is too low."
    assert not now(kit).startswith("look:")
    go_on(kit, "look:mark")
    assert state_of_kit(kit).waiting_for_look == "mark"
    assert kit.events.filter(kind=Event.Kind.LOOK_ASKED, stage="mark").count() == 2


def test_a_teacher_may_tick_the_rest_of_a_stage_on_paper(kit: Kit) -> None:
    tick_step(kit, now(kit), learner(kit))
    tick_stage(kit, "mark", teacher(kit))
    assert now(kit).startswith("try:")
    untick_stage(kit, "mark", teacher(kit))
    assert read(kit).progress.stage is not None
    assert state_of_kit(kit).current == "mark"
    assert "mark" not in read(kit).progress.stages_done
