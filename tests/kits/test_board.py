"""What the class board tells: who is there, who is stuck, who gets done; tables; names hidden."""

from __future__ import annotations

from datetime import datetime, time, timedelta

import pytest
from django.db import connection
from django.db.models import QuerySet
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from kits.models import Event, Kit, SessionGoal, Workshop
from kits.pace.values import SessionHours
from kits.services.access import Person
from kits.services.attendance import absent_today, set_absent
from kits.services.board import Board, BoardRow, read_board
from kits.services.layouts import save_layout
from kits.services.stage_ticks import tick_stage
from kits.services.steps import tick_step
from tests.kits.factories import (
    handed_in,
    learner_client,
    make_user,
    make_workshop,
    sewing,
    teacher_client,
    with_layout,
)
from tests.kits.test_services_steps import now as step_now

pytestmark = pytest.mark.django_db

NOON = timezone.make_aware(datetime(2026, 3, 6, 12, 0))


@pytest.fixture
def workshop() -> Workshop:
    """Two kits that sew, one that has handed in, one that nobody has begun."""
    workshop = make_workshop(make_user("teacher"), kits=4, names=("Ayo", "Kaja", "Cem", "Ines"))
    first, second, third, _ = workshop.kits.all()
    sewing(first)
    sewing(second)
    handed_in(third)
    return workshop


def at_minute(monkeypatch: pytest.MonkeyPatch, workshop: Workshop, minutes: int) -> None:
    """All that happened was at noon; now it is so many minutes later."""
    QuerySet(Event).filter(workshop=workshop).update(at=NOON)
    monkeypatch.setattr(timezone, "now", lambda: NOON + timedelta(minutes=minutes))


def row(board: Board, number: int) -> BoardRow:
    return next(one for one in board.rows if one.kit.number == number)


def test_twice_the_planned_time_without_progress_is_stuck(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    planned = next(stage["minutes"] for stage in Kit.objects.get(workshop=workshop, number=1).stages)
    at_minute(monkeypatch, workshop, int(2 * planned) - 1)
    assert [one.kit.number for one in read_board(workshop, SessionHours(90)).stuck] == []
    at_minute(monkeypatch, workshop, int(2 * planned) + 2)
    assert [one.kit.number for one in read_board(workshop, SessionHours(90)).stuck] == [1, 2]


def test_who_draws_moves_on(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    """A save of the layout is no event; all the same, who saved a minute ago is not stuck."""
    kit = with_layout(workshop.kits.get(number=4))
    twice = 2 * workshop.layout_minutes
    at_minute(monkeypatch, workshop, twice - 1)
    save_layout(kit, kit.read().layout, kit.layout_version, Person(kit=kit))
    at_minute(monkeypatch, workshop, twice + 2)
    drawing = row(read_board(workshop, SessionHours(180)), 4).pace
    assert (drawing.stuck, drawing.minutes_since) == (False, 3)
    at_minute(monkeypatch, workshop, 2 * twice + 2)
    assert row(read_board(workshop, SessionHours(180)), 4).pace.stuck


def test_who_is_absent_or_waits_for_a_look_is_not_stuck(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = workshop.kits.all()[:2]
    set_absent(first, first.learners.get(), True, Person(user=workshop.owner))
    tick_stage(second, "mark", Person(kit=second))
    at_minute(monkeypatch, workshop, 70)
    board = read_board(workshop, SessionHours(90))
    assert [one.kit.number for one in board.stuck] == []
    assert row(board, 1).away
    assert [one.kit.number for one in board.to_look_at] == [2, 3]


def test_after_the_session_nobody_gets_stuck_any_more(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    at_minute(monkeypatch, workshop, 9)
    long_after = read_board(workshop)  # no session today: the time ends with the last event
    assert long_after.stuck == []
    assert long_after.minutes_left is None
    assert all(one.pace.outlook is None for one in long_after.rows)


def test_a_kit_ticked_step_by_step_is_stuck_on_a_step(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    kit = workshop.kits.select_related("workshop").get(number=1)
    tick_step(kit, step_now(kit), Person(kit=kit))
    longest = kit.stages[0]["longest"]
    assert longest < kit.stages[0]["minutes"]
    at_minute(monkeypatch, workshop, max(int(2 * longest), 4) + 1)
    assert [one.kit.number for one in read_board(workshop, SessionHours(90)).stuck] == [1]


def test_the_day_tells_who_gets_done(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    at_minute(monkeypatch, workshop, 1)
    short, long = read_board(workshop, SessionHours(30)), read_board(workshop, SessionHours(600))
    assert row(short, 1).pace.outlook == "will-not-finish"
    assert row(long, 1).pace.outlook == "fine"
    needs = row(long, 1).pace.needs
    assert needs is not None
    assert needs.low < needs.likely < needs.high
    assert short.minutes_left == 30 - workshop.count_back_minutes - 1


@pytest.mark.parametrize(("starts", "minute", "left"), [("12:00", 30, 50), ("11:30", 30, 20), ("13:00", 30, 70)])
def test_a_session_that_says_when_it_starts_ends_by_the_clock(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch, starts: str, minute: int, left: int
) -> None:
    """90 minutes, of which 10 go to counting back, and the first 10 to setting out; events were at noon."""
    at_minute(monkeypatch, workshop, minute)
    hours = SessionHours(90, time.fromisoformat(starts))
    board = read_board(workshop, hours)
    assert board.minutes_left == left
    assert row(board, 1).pace.minutes_since == {"12:00": 20, "11:30": 30, "13:00": 0}[starts]


def test_the_board_knows_when_todays_session_starts(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    at_minute(monkeypatch, workshop, 30)
    workshop.sessions.update(date=timezone.localdate())
    teacher, held = teacher_client(workshop.owner), workshop.sessions.get()
    session = reverse("kits:session", args=[held.pk])
    form = {"date": held.date.isoformat(), "minutes": 90, "starts": "11:30"}
    assert teacher.post(session, form).status_code == 302
    assert "11:30–13:00" in teacher.get(session).content.decode()
    assert teacher.get(reverse("kits:board", args=[workshop.pk])).context["board"].minutes_left == 20
    assert teacher.post(session, {**form, "starts": "25:00"}).status_code == 400


def test_a_goal_for_today_counts_not_the_whole_object(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    kit = workshop.kits.get(number=1)
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    session = workshop.sessions.get()
    session.date = timezone.localdate()
    session.save()
    at_minute(monkeypatch, workshop, 1)
    whole = row(read_board(workshop, SessionHours(90)), 1).pace.needs
    SessionGoal.objects.create(session=session, revision=kit.revision, stage="mark")
    part = row(read_board(workshop, SessionHours(90)), 1).pace.needs
    assert whole is not None
    assert part is not None
    assert part.high < whole.low


def test_one_tap_says_who_is_away_and_one_takes_it_back(workshop: Workshop) -> None:
    kit = workshop.kits.get(number=1)
    learner, teacher = kit.learners.get(), teacher_client(workshop.owner)
    address = reverse("kits:attendance", args=[workshop.pk])
    for name, absent in (("away", {learner.pk}), ("away", {learner.pk}), ("here", set())):
        teacher.post(address, {name: f"{kit.pk}.{learner.pk}"})
        assert absent_today(kit) == absent
    assert kit.events.filter(kind__in=("absent", "present")).count() == 2
    event = kit.events.get(kind="absent")
    assert (event.user, event.learner) == (workshop.owner, learner)
    answer = teacher.post(address, {"away": f"{kit.pk}.{learner.pk}"}, headers={"HX-Request": "true"})
    assert b'class="away-row"' in answer.content
    assert teacher.post(address, {"away": f"{kit.pk}.999999"}).status_code == 404
    assert teacher.post(address, {"away": "nonsense"}).status_code == 302


def test_a_stage_is_ticked_for_a_whole_table(workshop: Workshop) -> None:
    teacher, address = teacher_client(workshop.owner), reverse("kits:bulk", args=[workshop.pk])
    first, second, third, _ = workshop.kits.all()
    teacher.post(address, {"action": "set-table", "table": "window", "kits": [first.pk, second.pk, third.pk]})
    assert read_board(workshop).tables == ["window"]
    page = teacher.post(
        address, {"action": "tick-stage", "stage": "mark", "of_table": "window"}, follow=True
    ).content.decode()
    assert "Stage ticked for kits 1, 2." in page
    assert "Not ticked, since no layout is accepted yet: kit 3." in page
    teacher.post(address, {"action": "set-table", "table": "", "of_table": "window"})
    assert read_board(workshop).tables == []
    page = teacher.post(address, {"action": "tick-stage", "stage": "mark"}, follow=True).content.decode()
    assert "Tick at least one kit first." in page
    long = {"action": "set-table", "table": "x" * 21, "kits": [first.pk]}
    assert "at most 20" in teacher.post(address, long, follow=True).content.decode()


def test_names_and_pace_are_hidden_before_the_page_shows(workshop: Workshop) -> None:
    teacher, address = teacher_client(workshop.owner), reverse("kits:board", args=[workshop.pk])
    assert b"names-hidden" not in teacher.get(address).content
    assert teacher.get(address, {"names": "hide"}).status_code == 302
    assert b'class="names-hidden"' in teacher.get(address).content
    teacher.get(address, {"names": "show"})
    assert b"names-hidden" not in teacher.get(address).content


def test_what_people_typed_is_text_on_the_board(workshop: Workshop) -> None:
    kit = workshop.kits.get(number=1)
    kit.learners.update(display_name='<b onclick="x">"\'')
    workshop.kits.update(table="<i>1</i>")
    page = teacher_client(workshop.owner).get(reverse("kits:board", args=[workshop.pk])).content.decode()
    assert "<b onclick" not in page
    assert "<i>1" not in page
    assert "&lt;b onclick=&quot;x&quot;&gt;&quot;&#x27;" in page


def test_a_board_of_a_minute_that_is_over_is_sent_anew(workshop: Workshop) -> None:
    teacher, address = teacher_client(workshop.owner), reverse("kits:board-rows", args=[workshop.pk])
    newest = workshop.events.latest("pk").pk
    assert teacher.get(address, {"since": newest}).status_code == 204
    assert teacher.get(address, {"since": newest, "at": "1"}).status_code == 200


def test_steps_and_readings_change_no_query_of_the_board(workshop: Workshop) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            read_board(workshop, SessionHours(90))
        return len(caught)

    before = queries()
    kit = workshop.kits.select_related("workshop").get(number=1)
    for _ in range(3):
        tick_step(kit, step_now(kit), Person(kit=kit))
    set_absent(kit, kit.learners.get(), True, Person(user=workshop.owner))
    assert queries() == before == 3


def test_a_look_takes_two_taps_from_the_board(workshop: Workshop) -> None:
    kit = workshop.kits.get(number=1)
    tick_stage(kit, "mark", Person(kit=kit))
    helper = make_user("helper")
    workshop.helpers.add(helper)
    client = teacher_client(helper)
    board = client.get(reverse("kits:board", args=[workshop.pk])).content.decode()
    assert f'id="look-{kit.pk}" href="{reverse("kits:kit", args=[kit.pk])}"' in board
    page = client.get(reverse("kits:kit", args=[kit.pk])).content.decode()
    assert "Waits for your look: Mark your plan" in page
    client.post(reverse("kits:kit-stage", args=[kit.pk]), {"action": "sign-off", "stage": "mark"})
    assert row(read_board(workshop), 1).state.current == "try it out"
    assert learner_client(kit).get(reverse("kits:my-kit")).status_code == 200
