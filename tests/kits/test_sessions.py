"""Sessions of a class: stages spread over the time there is, goals, what was reached, the plan on paper."""

from __future__ import annotations

from datetime import time, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from kits.models import Event, Session, Workshop
from kits.plan.make import make_plan
from kits.plan.sessions import LAYOUT, last_stages, stage_times
from kits.services.access import Person
from kits.services.session_plan import SessionNow, plan_sessions, save_goals
from kits.services.stage_ticks import tick_stage
from kits.sheets.for_session import session_plan_for
from kits.sheets.render import pdf
from projects.said import say
from tests.kits.factories import make_user, make_workshop, sewing, teacher_client
from tests.kits.pdf_reading import page_sizes_mm, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def test_stages_fill_each_session_and_run_on_into_the_next() -> None:
    assert last_stages([10, 30, 30, 20], [50, 50]) == [2, 4]
    assert last_stages([10, 30, 30, 20], [40, 10, 40]) == [2, 2, 4]
    assert last_stages([30, 30], [20]) == [0]
    assert last_stages([], [20, 20]) == [0, 0]
    assert last_stages([10], []) == []


def test_the_plan_counts_out_setting_out_and_counting_back(workshop: Workshop) -> None:
    (only,) = plan_sessions(workshop)
    assert only.session.sewing_minutes == 70
    workshop.set_out_minutes, workshop.count_back_minutes = 5, 0
    workshop.save()
    (only,) = plan_sessions(workshop)
    assert only.session.sewing_minutes == 85


def test_minutes_are_those_of_the_kits_own_plans(workshop: Workshop) -> None:
    (only,) = plan_sessions(workshop)
    (level,) = only.levels
    assert level.stages[0].name == LAYOUT
    assert level.stages[0].minutes == workshop.layout_minutes
    assert [stage.name for stage in level.stages[1:]] == [row["name"] for row in workshop.kits.first().stages]
    assert all(stage.minutes > 0 for stage in level.stages)
    assert only.minutes <= only.session.sewing_minutes
    assert level.next is not None


def test_a_second_session_takes_what_is_left(workshop: Workshop) -> None:
    workshop.sessions.create(date=timezone.localdate() + timedelta(days=7), minutes=90)
    first, second = plan_sessions(workshop)
    (one,), (two,) = first.levels, second.levels
    assert two.begin == one.end
    assert two.end == len(two.stages)
    assert [thing.text for thing in second.set_out] != [thing.text for thing in first.set_out]


def test_a_goal_of_the_teachers_moves_the_rest(workshop: Workshop) -> None:
    later = workshop.sessions.create(date=timezone.localdate() + timedelta(days=7), minutes=90)
    first = workshop.sessions.exclude(pk=later.pk).get()
    revision = workshop.kits.first().revision
    save_goals(first, {revision.pk: "mark"})
    one, two = (now.levels[0] for now in plan_sessions(workshop))
    assert (one.chosen, one.goal.name) == (True, "mark")
    assert two.begin == one.end == 2
    save_goals(first, {revision.pk: ""})
    assert not plan_sessions(workshop)[0].levels[0].chosen


def test_stages_that_only_some_kits_have_stand_where_they_stand_there(workshop: Workshop) -> None:
    plan = make_plan(workshop.kits.first().revision.read())
    from_plan = [stage for stage in plan.stages if stage.name in ("mark", "positive side", "test")]
    mark, positive, test = from_plan
    names = [one.name for one in stage_times([(mark, test), (mark, positive, test)], 0)]
    assert names == ["mark", "positive side", "test"]


def test_what_was_reached_is_read_from_the_log(workshop: Workshop) -> None:
    kit = sewing(workshop.kits.get(number=1))
    save_goals(workshop.sessions.get(), {kit.revision_id: "mark"})
    tick_stage(kit, "mark", Person(user=workshop.owner))
    (level,) = plan_sessions(workshop)[0].levels
    assert (level.reached, level.behind) == ((1,), (2, 3))


def test_what_happened_after_the_day_does_not_count_for_it(workshop: Workshop) -> None:
    kit = sewing(workshop.kits.get(number=1))
    session = workshop.sessions.get()
    Session.objects.filter(pk=session.pk).update(date=timezone.localdate() - timedelta(days=1))
    save_goals(session, {kit.revision_id: LAYOUT})
    assert plan_sessions(workshop)[0].levels[0].reached == ()
    assert Event.objects.filter(kit=kit).exists()


def test_a_day_to_come_has_nothing_reached(workshop: Workshop) -> None:
    workshop.sessions.update(date=timezone.localdate() + timedelta(days=1))
    (now,) = plan_sessions(workshop)
    assert not now.over
    assert now.levels[0].behind == ()


def test_sessions_are_added_changed_and_removed(workshop: Workshop, teacher: Client) -> None:
    day = timezone.localdate() + timedelta(days=3)
    teacher.post(reverse("kits:sessions", args=[workshop.pk]), {"date": day.isoformat(), "minutes": "75"})
    session = workshop.sessions.get(date=day)
    revision = workshop.kits.first().revision_id
    address = reverse("kits:session", args=[session.pk])
    data = {"date": day.isoformat(), "minutes": "60", "note": "Bring chalk.", f"goal-{revision}": "test"}
    assert teacher.post(address, data).status_code == 302
    session.refresh_from_db()
    assert (session.minutes, session.note) == (60, "Bring chalk.")
    assert session.goals.get().stage == "test"
    wrong = teacher.post(address, {**data, "minutes": "5", "note": "Kept as typed"})
    assert wrong.status_code == 400
    assert "Kept as typed" in wrong.content.decode()
    assert teacher.post(address, {**data, f"goal-{revision}": "no such stage"}).status_code == 400
    teacher.post(reverse("kits:session-remove", args=[session.pk]))
    assert workshop.sessions.count() == 1


def test_a_session_in_which_tools_were_counted_stays(workshop: Workshop, teacher: Client) -> None:
    session = workshop.sessions.get()
    teacher.post(reverse("kits:close-tools", args=[session.pk]), {"action": "close"})
    teacher.post(reverse("kits:session-remove", args=[session.pk]))
    assert workshop.sessions.get() == session


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("letter", (215.9, 279.4))])
def test_the_session_plan_on_paper(workshop: Workshop, teacher: Client, paper: str, size: tuple[float, float]) -> None:
    session = workshop.sessions.get()
    made = teacher.get(reverse("kits:session-plan", args=[session.pk]) + f"?paper={paper}").content
    assert page_sizes_mm(made)[0] == pytest.approx(size, abs=0.1)
    (now,) = plan_sessions(workshop)
    found = words(made)
    for text in [say(stage.title) for stage in now.levels[0].here] + [say(thing) for thing in now.set_out]:
        assert text in found
    assert "Session 1 of 1" in found
    assert "page 1 of 1" in found


def test_a_plan_that_is_too_long_says_so(workshop: Workshop) -> None:
    session = workshop.sessions.get()
    save_goals(session, {workshop.kits.first().revision_id: "care"})
    now: SessionNow = plan_sessions(workshop)[0]
    assert now.too_long
    assert "minutes more are planned than there are" in words(pdf([session_plan_for(now)]))


def test_a_session_that_says_when_it_starts_is_planned_by_the_clock(workshop: Workshop) -> None:
    (now,) = plan_sessions(workshop)
    assert {row.clock for level in session_plan_for(now).levels for row in level.rows} == {""}
    workshop.sessions.update(starts=time(15, 30))
    (now,) = plan_sessions(workshop)
    sheet = session_plan_for(now)
    first = sheet.levels[0].rows[0]
    # Ten minutes of setting out, then twenty to make the plan.
    assert (first.begin, first.end, first.clock) == (10, 30, "15:40 – 16:00")
    assert "15:40 – 16:00" in words(pdf([sheet], "A4"))


def test_todays_classes_stand_in_the_order_in_which_they_begin(workshop: Workshop, teacher: Client) -> None:
    for title, starts in (("Late club", time(16, 0)), ("Early club", time(9, 0))):
        make_workshop(workshop.owner, kits=1, title=title).sessions.update(starts=starts)
    page = teacher.get(reverse("kits:home")).content.decode()
    order = sorted(("Friday club", "Late club", "Early club"), key=page.index)
    assert order == ["Early club", "Late club", "Friday club"]
