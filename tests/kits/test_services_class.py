"""Setting a class up, its roster, ticks, help, publishing."""

from __future__ import annotations

import datetime

import pytest

from kits.models import Event, Kit
from kits.services.access import Person
from kits.services.calls_for_help import answer_help, ask_for_help, drop_help
from kits.services.create_workshop import add_kits
from kits.services.layouts import NotNow
from kits.services.publish import publish
from kits.services.roster import add_learners, assign_learners
from kits.services.sewing import read_sewing
from kits.services.stage_ticks import send_stage_back, sign_off_stage, tick_stage, untick_stage
from kits.services.states import stage_rows, state_of_kit, states_of_kits
from kits.services.to_do import waiting_submissions
from projects.models import Frozen
from tests.kits.factories import handed_in, lantern, make_project, make_user, make_workshop, sewing, with_layout

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("teacher"), kits=2, names=("Ayo",)).kits.get(number=1)


def teacher(kit: Kit) -> Person:
    return Person(user=kit.workshop.owner)


def learner(kit: Kit) -> Person:
    return Person(kit=kit, learner=kit.learners.first())


def test_a_workshop_has_its_kits_their_codes_and_a_session(kit: Kit) -> None:
    workshop = kit.workshop
    assert [kit.number for kit in workshop.kits.all()] == [1, 2]
    assert len({kit.code for kit in workshop.kits.all()}) == 2
    assert workshop.sessions.get().date == datetime.date.today()
    assert [row["name"] for row in kit.stages][:2] == ["mark", "try it out"]
    assert [kit.number for kit in add_kits(workshop, kit.revision, 2)] == [3, 4]


def test_names_take_the_next_free_kit_and_none_twice(kit: Kit) -> None:
    came = add_learners(kit.workshop, ["ayo", "Kaja", "Cem", "kaja"])
    assert (came.added, came.known, came.without_kit) == (("Kaja", "Cem"), ("ayo", "kaja"), ("Cem",))
    assert kit.workshop.kits.get(number=2).learners.get().display_name == "Kaja"


def test_two_with_the_same_kit_are_a_pair(kit: Kit) -> None:
    add_learners(kit.workshop, ["Kaja"])
    ayo, kaja = kit.workshop.learners.order_by("display_name")
    assign_learners(kit.workshop, {ayo: kit, kaja: kit}, {kaja.pk})
    assert list(kit.learners.order_by("display_name")) == [ayo, kaja]
    kaja.refresh_from_db()
    assert kaja.left_handed
    assign_learners(kit.workshop, {ayo: None, kaja: kit}, set())
    assert list(kit.learners.all()) == [kaja]


def test_no_stage_is_ticked_before_a_layout_is_accepted(kit: Kit) -> None:
    handed_in(kit)
    for person in (learner(kit), teacher(kit)):
        with pytest.raises(NotNow, match="not accepted"):
            tick_stage(kit, "mark", person)


def test_a_learner_ticks_in_order_and_waits_for_looks(kit: Kit) -> None:
    kit = sewing(kit)
    with pytest.raises(NotNow, match="in order"):
        tick_stage(kit, "positive side", learner(kit))
    tick_stage(kit, "mark", learner(kit))
    with pytest.raises(NotNow, match="Show your teacher"):
        tick_stage(kit, "try it out", learner(kit))
    sign_off_stage(kit, "mark", teacher(kit))
    tick_stage(kit, "try it out", learner(kit))
    assert state_of_kit(kit).current == "positive side"


def test_a_look_that_comes_before_the_cell_does_not_end_its_stage(kit: Kit) -> None:
    """By the sheet: tick for the look, get it, put the cell in, tick again."""
    kit = sewing(kit)
    names = [stage.name for stage in stage_rows(kit)]
    for name in names[: names.index("test")]:
        tick_stage(kit, name, teacher(kit))

    def shown() -> tuple[str, str]:
        state = state_of_kit(kit)
        return state.of_stage(next(stage for stage in stage_rows(kit) if stage.name == "test")), state.current or ""

    assert shown() == ("now", "test")
    tick_stage(kit, "test", learner(kit))
    assert shown() == ("waiting", "test")
    untick_stage(kit, "test", learner(kit))
    assert shown() == ("now", "test")
    tick_stage(kit, "test", learner(kit))
    sign_off_stage(kit, "test", teacher(kit))
    assert shown() == ("now", "test")  # the cell is not in yet
    sewing_now = read_sewing(kit)
    assert sewing_now is not None
    assert sewing_now.progress.now is not None
    assert sewing_now.progress.now.key.startswith("test:")
    tick_stage(kit, "test", learner(kit))
    assert shown() == ("done", names[names.index("test") + 1])
    logged = kit.events.filter(stage="test").values_list("minutes", flat=True)
    planned = next(row["minutes"] for row in kit.stages if row["name"] == "test")
    assert sum(minutes or 0 for minutes in logged) == pytest.approx(planned, abs=1)


def test_a_teachers_tick_after_the_look_was_asked_for_ends_the_stage(kit: Kit) -> None:
    kit = sewing(kit)
    names = [stage.name for stage in stage_rows(kit)]
    for name in names[: names.index("test")]:
        tick_stage(kit, name, teacher(kit))
    tick_stage(kit, "test", learner(kit))
    tick_stage(kit, "test", teacher(kit))
    assert {"test"} <= state_of_kit(kit).done & state_of_kit(kit).signed


def test_a_learner_takes_back_only_what_nobody_has_looked_at(kit: Kit) -> None:
    kit = sewing(kit)
    tick_stage(kit, "mark", learner(kit))
    untick_stage(kit, "mark", learner(kit))
    assert state_of_kit(kit).done == frozenset()
    tick_stage(kit, "mark", teacher(kit))
    with pytest.raises(NotNow, match="has looked"):
        untick_stage(kit, "mark", learner(kit))


def test_a_stage_that_the_plan_does_not_have_is_refused(kit: Kit) -> None:
    kit = sewing(kit)
    with pytest.raises(NotNow, match="no such stage"):
        tick_stage(kit, "embroider", teacher(kit))


def test_a_stage_sent_back_tells_the_learner_why(kit: Kit) -> None:
    kit = sewing(kit)
    tick_stage(kit, "mark", learner(kit))
    send_stage_back(kit, "mark", teacher(kit), "The holder is marked upside down.")
    state = state_of_kit(kit)
    assert (state.current, state.waiting_for_look) == ("mark", None)
    assert state.reason == "The holder is marked upside down."


def test_a_look_is_given_only_to_a_stage_that_waits_for_one(kit: Kit) -> None:
    """A helper ticks nothing: what nobody has ticked, and what ends without a look, is not theirs to sign."""
    kit = sewing(kit)
    for stage in ("mark", "positive side"):
        for give in (
            lambda stage=stage: sign_off_stage(kit, stage, teacher(kit)),
            lambda stage=stage: send_stage_back(kit, stage, teacher(kit), "why"),
        ):
            with pytest.raises(NotNow, match="does not wait"):
                give()
    assert state_of_kit(kit).done == frozenset()


def test_help_is_asked_once_and_answered_once(kit: Kit) -> None:
    ask_for_help(kit, learner(kit), "the knot")
    ask_for_help(kit, learner(kit), "still the knot")
    answer_help(kit, teacher(kit))
    answer_help(kit, teacher(kit))
    drop_help(kit, learner(kit))
    assert list(kit.events.values_list("kind", flat=True)) == [Event.Kind.HELP_ASKED, Event.Kind.HELP_GIVEN]


def test_states_of_many_kits_take_one_query(kit: Kit, django_assert_num_queries: object) -> None:
    sewing(kit)
    kits = list(kit.workshop.kits.all())
    with django_assert_num_queries(1):  # type: ignore[operator]
        assert [state.phase for state in states_of_kits(kits).values()] == ["sewing", "not-begun"]


def test_an_event_is_written_once(kit: Kit) -> None:
    ask_for_help(kit, learner(kit))
    event = kit.events.get()
    event.kind = Event.Kind.NOTE
    with pytest.raises(Frozen):
        event.save()


def test_deleting_a_workshop_takes_everything_of_it(kit: Kit) -> None:
    sewing(kit)
    ask_for_help(kit, learner(kit), "the knot")
    kit.workshop.delete()
    assert not Event.objects.exists()
    assert not Kit.objects.exists()


def test_only_the_newest_undecided_and_recent_layouts_wait(kit: Kit) -> None:
    owner = kit.workshop.owner
    handed_in(kit)
    newest = handed_in(kit)
    assert waiting_submissions(owner) == [newest]
    assert waiting_submissions(make_user("other")) == []
    with_layout(kit)  # the teacher gives the example: nobody need look any more
    assert waiting_submissions(owner) == []
    sewing(kit.workshop.kits.get(number=2))
    assert waiting_submissions(owner) == []


def test_what_was_handed_in_long_ago_waits_no_more(kit: Kit, monkeypatch: pytest.MonkeyPatch) -> None:
    submission = handed_in(kit)
    assert waiting_submissions(kit.workshop.owner) == [submission]
    monkeypatch.setattr("kits.services.to_do.RECENT", datetime.timedelta(0))
    assert waiting_submissions(kit.workshop.owner) == []


def test_publishing_twice_says_that_nothing_changed() -> None:
    project = make_project(make_user("teacher"), published=False)
    assert publish(project).number == 1
    with pytest.raises(NotNow, match="published already"):
        publish(project)
    assert project.newest().read() == lantern()
