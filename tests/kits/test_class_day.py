"""Before and after a class: quick start, set-up, sessions, copies, helpers and cover, home."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from kits.demo.examples import examples
from kits.models import Cover, Event, Invitation, Kit, Session, Workshop
from kits.models.codes import grouped
from kits.plan.make import make_plan
from kits.plan.sessions import LAYOUT, last_stages, stage_times
from kits.services.access import Person
from kits.services.copy_workshop import copy_workshop
from kits.services.layouts import NotNow
from kits.services.session_plan import SessionNow, plan_sessions, save_goals
from kits.services.set_up import SetUp, read_set_up
from kits.services.staff import accept_invitation, invite
from kits.services.stage_ticks import tick_stage
from kits.sheets.for_session import session_plan_for
from kits.sheets.render import pdf
from projects.models import Project
from projects.said import say
from tests.kits.factories import handed_in, make_project, make_user, make_workshop, sewing, teacher_client
from tests.kits.pdf_reading import page_sizes_mm, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def page(client: Client, name: str, *args: object) -> str:
    answer = client.get(reverse(f"kits:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()


# Quick start, and an empty site.


def test_from_nothing_to_printing_in_two_forms() -> None:
    client = teacher_client(make_user("new"))
    assert "Three things to begin with" in page(client, "home")
    client.post(reverse("kits:demo-projects"), {"action": "load"})
    revision = Project.objects.get(title="Lantern patch").revisions.get()
    answer = client.post(reverse("kits:quick-start"), {"revision": revision.pk, "kits": 8})
    workshop = Workshop.objects.get()
    assert answer["Location"] == reverse("kits:print", args=[workshop.pk])
    assert workshop.kits.count() == 8
    assert workshop.sessions.get().date == timezone.localdate()
    assert "Lantern patch" in workshop.title
    assert not workshop.learners.exists()
    assert client.get(answer["Location"]).status_code == 200


def test_a_wrong_number_comes_back_as_it_was_typed(teacher: Client) -> None:
    revision = Project.objects.get().revisions.get()
    answer = teacher.post(reverse("kits:quick-start"), {"revision": revision.pk, "kits": "1000"})
    assert answer.status_code == 400
    assert 'value="1000"' in answer.content.decode()


def test_a_project_of_somebody_else_cannot_be_quick_started(teacher: Client) -> None:
    other = make_project(make_user("other")).revisions.get()
    assert teacher.post(reverse("kits:quick-start"), {"revision": other.pk, "kits": 3}).status_code == 400


def test_demo_projects_are_loaded_once_and_removed_where_nobody_uses_or_changed_them() -> None:
    user = make_user("new")
    client, address = teacher_client(user), reverse("kits:demo-projects")
    for _twice in range(2):
        client.post(address, {"action": "load"})
        assert Project.objects.filter(owner=user).count() == 3
    titles = [document.project.title for document in examples().values()]
    used, changed, free = (Project.objects.get(title=title) for title in titles)
    client.post(reverse("kits:quick-start"), {"revision": used.revisions.get().pk, "kits": 1})
    changed.draft()
    client.post(address, {"action": "remove"})
    assert set(Project.objects.all()) == {used, changed}
    assert free not in Project.objects.all()


# Sessions: spread over the time there is.


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


# Set-up.


def missing(set_up: SetUp) -> dict[str, int]:
    return {step.name: len(step.missing) for step in set_up.steps if step.missing}


def test_set_up_says_what_is_missing_and_no_more(workshop: Workshop) -> None:
    set_up = read_set_up(workshop)
    assert set(missing(set_up)) == {"sessions", "kits"}
    workshop.sessions.create(date=timezone.localdate() + timedelta(days=7), minutes=90)
    assert "sessions" not in missing(read_set_up(workshop))
    workshop.sessions.all().delete()
    workshop.tool_trays.all().delete()
    assert {"sessions", "tools"} <= set(missing(read_set_up(workshop)))


def test_an_empty_workshop_can_be_set_up_too() -> None:
    owner = make_user("teacher")
    workshop = Workshop.objects.create(owner=owner, title="Nothing yet")
    client = teacher_client(owner)
    assert set(missing(read_set_up(workshop))) == {"projects", "sessions", "kits", "tools"}
    for name in (
        "set-up",
        "sessions",
        "tools",
        "marks",
        "class-today",
        "roster-list",
        "helpers",
        "marks-sheet",
        "copy-workshop",
    ):
        assert client.get(reverse(f"kits:{name}", args=[workshop.pk])).status_code == 200


def test_minutes_are_settings(workshop: Workshop, teacher: Client) -> None:
    address = reverse("kits:details", args=[workshop.pk])
    data = {
        "title": "Friday club",
        "place": "",
        "set_out_minutes": "15",
        "count_back_minutes": "5",
        "layout_minutes": "0",
    }
    assert teacher.post(address, data).status_code == 302
    workshop.refresh_from_db()
    assert plan_sessions(workshop)[0].session.sewing_minutes == 70
    assert LAYOUT not in [stage.name for stage in plan_sessions(workshop)[0].levels[0].stages]
    wrong = teacher.post(address, {**data, "title": "", "set_out_minutes": "500"})
    assert wrong.status_code == 400
    assert 'value="500"' in wrong.content.decode()


def test_all_codes_are_replaced_at_once(workshop: Workshop, teacher: Client) -> None:
    before = set(workshop.kits.values_list("code", flat=True))
    teacher.post(reverse("kits:new-codes", args=[workshop.pk]))
    after = set(workshop.kits.values_list("code", flat=True))
    assert len(after) == 3
    assert not before & after
    assert all(grouped(code) in page(teacher, "codes", workshop.pk) for code in after)


def test_a_copy_has_the_same_kits_and_sessions_and_nobody(workshop: Workshop) -> None:
    handed_in(workshop.kits.get(number=1))
    workshop.sessions.create(date=timezone.localdate() + timedelta(days=7), minutes=60)
    workshop.tool_kinds.filter(name="Meters").update(usual=3)
    first = workshop.sessions.earliest("date")
    save_goals(first, {workshop.kits.first().revision_id: "mark"})
    day = timezone.localdate() + timedelta(days=90)
    copy = copy_workshop(workshop, workshop.owner, "Next term", day)
    assert [kit.number for kit in copy.kits.all()] == [1, 2, 3]
    assert not set(copy.kits.values_list("code")) & set(workshop.kits.values_list("code"))
    assert [(one.date, one.minutes) for one in copy.sessions.all()] == [(day, 90), (day + timedelta(days=7), 60)]
    assert copy.sessions.earliest("date").goals.get().stage == "mark"
    assert copy.tool_kinds.get(name="Meters").usual == 3
    assert not copy.learners.exists()
    assert not copy.events.exists()
    assert {kit.layout_version for kit in copy.kits.all()} == {0}


def test_a_copy_takes_the_newest_published_revision(workshop: Workshop) -> None:
    project = workshop.kits.first().revision.project
    draft = project.draft()
    draft.published_at = timezone.now()
    draft.save()
    project.draft()
    copy = copy_workshop(workshop, workshop.owner, "Next term", timezone.localdate())
    assert {kit.revision.number for kit in copy.kits.all()} == {2}
    (note,) = [line for line in read_set_up(workshop).steps[0].there if "newer revision" in line.text]
    assert note.values["number"] == 2


# Helpers and cover teachers.


def test_an_invitation_makes_one_helper_once(workshop: Workshop) -> None:
    code = invite(workshop, Invitation.Role.HELPER, None).shown_code
    helper, late = make_user("helper"), make_user("late")
    client = teacher_client(helper)
    answer = client.post(reverse("kits:invitation"), {"code": code.lower()})
    assert answer["Location"] == reverse("kits:board", args=[workshop.pk])
    assert client.get(answer["Location"]).status_code == 200
    with pytest.raises(NotNow, match="opens nothing"):
        accept_invitation(code, late)
    assert list(workshop.helpers.all()) == [helper]


def test_all_codes_that_open_nothing_get_the_same_answer(workshop: Workshop) -> None:
    client = teacher_client(make_user("helper"))
    old = invite(workshop, Invitation.Role.HELPER, None)
    Invitation.objects.filter(pk=old.pk).update(made_at=timezone.now() - timedelta(days=15))
    answers = {
        client.post(reverse("kits:invitation"), {"code": code})
        .content.decode()
        .split('<div id="div_id_code"')[1]
        .count("opens nothing")
        for code in (old.code, "7" * 12, "x", "%00")
    }
    assert answers == {1}
    assert not workshop.helpers.exists()


def test_a_teacher_cannot_take_up_their_own_invitation(workshop: Workshop) -> None:
    with pytest.raises(NotNow, match="your own"):
        accept_invitation(invite(workshop, Invitation.Role.HELPER, None).code, workshop.owner)
    assert Invitation.objects.exists()


def test_a_cover_teacher_finds_the_class_on_the_day_only(workshop: Workshop) -> None:
    today = timezone.localdate()
    cover = make_user("cover")
    client = teacher_client(cover)
    accept_invitation(invite(workshop, Invitation.Role.COVER, today + timedelta(days=1)).code, cover)
    assert client.get(reverse("kits:class-today", args=[workshop.pk])).status_code == 404
    home = page(client, "home")
    assert "You cover" in home
    assert reverse("kits:board", args=[workshop.pk]) not in home
    Cover.objects.update(day=today)
    assert reverse("kits:class-today", args=[workshop.pk]) in page(client, "home")
    shown = page(client, "class-today", workshop.pk)
    for text in ("Ayo", "Kaja", "Coin cells", "Do not make the child vomit", "Place the parts, draw the lines."):
        assert text in shown
    assert "you cover this class today" in page(client, "board", workshop.pk)


def test_a_day_that_is_over_cannot_be_covered(workshop: Workshop, teacher: Client) -> None:
    address = reverse("kits:helpers", args=[workshop.pk])
    yesterday = timezone.localdate() - timedelta(days=1)
    for day in (yesterday.isoformat(), ""):
        assert teacher.post(address, {"role": "cover", "day": day}).status_code == 400
    assert teacher.post(address, {"role": "cover", "day": timezone.localdate().isoformat()}).status_code == 302
    assert Invitation.objects.get().day == timezone.localdate()


def test_everyone_asked_can_be_taken_off_and_nobody_of_another_class(workshop: Workshop, teacher: Client) -> None:
    helper = make_user("helper")
    far = make_workshop(make_user("other"), kits=1)
    for one in (workshop, far):
        one.helpers.add(helper)
        one.covers.create(user=helper, day=timezone.localdate())
        invite(one, Invitation.Role.HELPER, None)
    address = reverse("kits:remove-helper", args=[workshop.pk])
    for what, own, others in (
        ("cover", workshop.covers.get().pk, far.covers.get().pk),
        ("invitation", workshop.invitations.get().pk, far.invitations.get().pk),
        ("helper", helper.pk, far.owner.pk),
    ):
        teacher.post(address, {"what": what, "row": others})
        teacher.post(address, {"what": what, "row": own})
    assert (workshop.helpers.count(), workshop.covers.count(), workshop.invitations.count()) == (0, 0, 0)
    assert (far.helpers.count(), far.covers.count(), far.invitations.count()) == (1, 1, 1)
    assert User.objects.count() == 3


# Home.


def test_home_says_what_waits_at_a_class_that_meets_today(workshop: Workshop, teacher: Client) -> None:
    kit = sewing(workshop.kits.get(number=2))
    learner = Person(kit=kit, learner=kit.learners.first())
    tick_stage(kit, "mark", learner)
    shown = page(teacher, "home")
    assert reverse("kits:kit", args=[kit.pk]) in shown
    assert "Mark your plan" in shown
    assert reverse("kits:tool-count", args=[workshop.sessions.get().pk]) in shown


# Queries.


def test_the_pages_take_the_same_queries_whatever_the_size_of_the_class() -> None:
    owner = make_user("teacher")
    small = make_workshop(owner, kits=2, names=("Ayo", "Kaja"))
    large = make_workshop(owner, kits=12, names=tuple(f"Name {n}" for n in range(12)))
    for one in (small, large):
        handed_in(one.kits.first())
    for day in range(1, 4):
        large.sessions.create(date=timezone.localdate() + timedelta(days=day), minutes=60)
    client = teacher_client(owner)
    names = ("set-up", "sessions", "tools", "marks", "class-today", "helpers", "erase", "roster-list", "marks-csv")

    def queries(workshop: Workshop) -> dict[str, int]:
        counts = {}
        for name in names:
            with CaptureQueriesContext(connection) as caught:
                assert client.get(reverse(f"kits:{name}", args=[workshop.pk])).status_code == 200
            counts[name] = len(caught)
        return counts

    assert queries(large) == queries(small)
    assert Kit.objects.count() == 14
