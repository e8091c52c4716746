"""The demo: what it holds, that it can be loaded only where it disturbs nothing, and that it goes without a trace."""

import io
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from checks.engine import check
from kits.demo import mistakes, sign_ins
from kits.demo.class_day import FINISHED_KIT
from kits.demo.club import HELPER, KITS, SHOWN_KIT, TEACHER
from kits.demo.examples import PROJECTS, examples
from kits.demo.story import PLANS
from kits.models import Event, Kit, Learner, Session, Submission, Workshop
from kits.models.codes import CODE_LENGTH, grouped
from kits.plan.make import make_plan
from kits.services.board import read_board
from kits.services.marks import marks_of
from kits.services.sewing import read_sewing
from kits.services.states import state_of_kit
from kits.services.tool_counts import read_tools
from projects.circuit.document import Document
from projects.circuit.project_file import read, write
from projects.models import Project, Revision

FIREFLY = "firefly-jar"
LANTERN = "lantern-patch"


def run(*arguments: str) -> str:
    out = io.StringIO()
    call_command("load_demo", *arguments, stdout=out)
    return out.getvalue()


def rows() -> dict[str, int]:
    """How many rows each table has."""
    return {model._meta.label: model._base_manager.count() for model in apps.get_models(include_auto_created=True)}


def found(document: Document, *levels: str) -> list[tuple[str, tuple[str, ...]]]:
    """Rule and lines of each finding at these levels."""
    report = check(document)
    assert report.complete
    return [(finding.rule, finding.lines) for finding in report.findings if finding.level in levels]


@pytest.fixture
def demo(db: None) -> Workshop:
    run("--if-empty")
    return Workshop.objects.get()


def kit(number: int) -> Kit:
    return Kit.objects.get(number=number)


# The examples and the usual mistakes, without a database.


@pytest.mark.parametrize("name", PROJECTS)
def test_the_example_layouts_are_sound(name: str) -> None:
    assert found(examples()[name], "stop", "look") == []


@pytest.mark.parametrize(
    ("project", "change", "rules"),
    [
        (FIREFLY, mistakes.half_the_lines, {"open"}),
        (FIREFLY, mistakes.forgotten_line, {"open"}),
        (FIREFLY, mistakes.crossing, {"short"}),
        (FIREFLY, mistakes.too_close, {"too-close"}),
        (FIREFLY, mistakes.beneath_holder, {"under-part"}),
        (LANTERN, mistakes.beneath_holder, {"under-part"}),
        (FIREFLY, mistakes.light_reversed, {"reversed"}),
        (LANTERN, mistakes.light_reversed, {"reversed"}),
        (FIREFLY, mistakes.crossing_with_cover, set()),
        (LANTERN, mistakes.moved("L1", right=4, down=0), set()),
    ],
)
def test_a_mistake_shows_as_what_it_is(project: str, change: Callable[[Document], Document], rules: set[str]) -> None:
    assert {rule for rule, _ in found(change(examples()[project]), "stop", "look")} == rules


def test_a_holder_turned_away_has_thread_beneath_it_and_is_shorted() -> None:
    rules = {rule for rule, _ in found(mistakes.holder_turned(examples()[FIREFLY]), "stop")}
    assert {"under-part", "dead-short"} <= rules


def test_the_crossing_is_where_the_cover_lies() -> None:
    example = examples()[FIREFLY]
    (short,) = [finding for finding in check(mistakes.crossing(example)).findings if finding.rule == "short"]
    (cover,) = mistakes.crossing_with_cover(example).layout.covers
    assert set(short.connections) == {"minus", "light-3"}
    assert [(spot.piece, spot.x, spot.y) for spot in short.at] == [
        (cover.piece, pytest.approx(cover.x), pytest.approx(cover.y))
    ]


def test_every_plan_is_a_document_that_reading_accepts() -> None:
    for number, change in PLANS.items():
        document = change(examples()[KITS[number - 1].project])
        assert read(write(document)) == document


# In the database.


def test_an_empty_site_gets_three_published_projects_and_twelve_kits(demo: Workshop) -> None:
    assert {project.title for project in Project.objects.all()} == {
        document.project.title for document in examples().values()
    }
    assert [(revision.number, revision.is_draft) for revision in Revision.objects.all()] == [(1, False)] * 3
    assert [revision.read() for revision in Revision.objects.order_by("pk")] == list(examples().values())
    assert demo.kits.count() == 12
    today = timezone.localdate()
    assert [session.date for session in Session.objects.all()] == [today, today + timedelta(days=7)]
    assert demo.owner.username == TEACHER.username
    assert [helper.username for helper in demo.helpers.all()] == [HELPER.username]


def test_each_kit_has_its_learners_and_two_are_shared(demo: Workshop) -> None:
    made_by = {kit.number: {str(learner) for learner in kit.learners.all()} for kit in demo.kits.all()}
    assert made_by == {number: set(plan.learners) for number, plan in enumerate(KITS, 1)}
    assert sorted(len(names) for names in made_by.values()) == [1] * 10 + [2] * 2
    assert Learner.objects.count() == 14


def test_the_kits_are_part_way(demo: Workshop) -> None:
    phases = {row.kit.number: row.state.phase for row in read_board(demo).rows}
    assert phases == {
        1: "sewing",
        2: "laying-out",
        3: "laying-out",
        4: "laying-out",
        5: "laying-out",
        6: "sent-back",
        7: "not-begun",
        8: "laying-out",
        9: "finished",
        10: "handed-in",
        11: "laying-out",
        12: "sewing",
    }


def test_one_sews_step_by_step_and_read_a_gap_and_one_asks_for_help(demo: Workshop) -> None:
    twelve = kit(12)
    assert state_of_kit(twelve).current == twelve.stages[2]["name"]
    sewing = read_sewing(twelve)
    assert sewing is not None
    assert [one.judgement.verdict for one in sewing.progress.readings if one.judgement] == ["open"]
    assert [row.kit.number for row in read_board(demo).waiting] == [3]


def test_the_times_follow_each_other_and_lie_in_the_session(demo: Workshop) -> None:
    times = list(Event.objects.order_by("pk").values_list("at", flat=True))
    assert times == sorted(times)
    ago = [(timezone.now() - at).total_seconds() / 60 for at in times]
    assert max(ago) < Session.objects.earliest("date").minutes
    assert min(ago) >= 3
    for submission in Submission.objects.all():
        assert submission.events.earliest("pk").at == submission.handed_in_at


def test_tools_are_counted_part_way_and_who_has_finished_is_marked(demo: Workshop) -> None:
    now = read_tools(Session.objects.earliest("date"))
    assert [tray.out > 0 for tray in now.trays] == [True] * 3
    assert now.short > 0
    assert not now.closed
    (cells,) = [total for total in now.totals if total.kind.in_objects]
    assert (cells.home, cells.back) == (1, 0)
    (level,) = marks_of(demo, only=kit(FINISHED_KIT))
    assert [row.given for row in level.rows] == [len(level.criteria)]
    assert level.rows[0].comment
    for one in examples().values():
        stages = {stage.name for stage in make_plan(one).stages} | {"layout"}
        assert one.project.criteria
        assert {criterion.stage for criterion in one.project.criteria} <= stages


def test_what_is_handed_in_holds_its_report(demo: Workshop) -> None:
    assert sorted(Submission.objects.values_list("kit__number", flat=True)) == [1, 6, 9, 10, 12]
    six = Submission.objects.get(kit__number=6)
    assert [finding["rule"] for finding in six.report["findings"] if finding["level"] == "look"] == ["too-close"]


def test_codes_are_made_anew_each_time(demo: Workshop) -> None:
    codes = set(Kit.objects.values_list("code", flat=True))
    run("--remove")
    run()
    assert not codes & set(Kit.objects.values_list("code", flat=True))
    assert {len(code) for code in codes} == {CODE_LENGTH}


def test_loading_twice_changes_nothing(demo: Workshop) -> None:
    before = rows(), list(Event.objects.values_list("pk", "at")), list(Kit.objects.values_list("pk", "code"))
    assert run("--if-empty") == ""
    assert before == (rows(), list(Event.objects.values_list("pk", "at")), list(Kit.objects.values_list("pk", "code")))


@pytest.mark.django_db
def test_removing_leaves_no_row_behind() -> None:
    before = rows()
    run()
    assert rows() != before
    assert run("--remove") == "The demo is removed.\n"
    assert rows() == before
    assert run("--remove") == "There is no demo here.\n"


def test_removing_spares_what_else_there_is(demo: Workshop) -> None:
    other = User.objects.create_user("someone", password="else")
    Workshop.objects.create(owner=other, title=demo.title)
    own = Project.objects.create(owner=demo.owner, title="My own project")
    run("--remove")
    assert [workshop.owner for workshop in Workshop.objects.all()] == [other]
    assert list(Project.objects.all()) == [own]
    assert {user.username for user in User.objects.all()} == {"someone", TEACHER.username}


def test_removing_is_refused_where_a_project_of_the_demo_is_in_use(demo: Workshop) -> None:
    used = Workshop.objects.create(owner=demo.owner, title="My own class")
    Kit.objects.create(workshop=used, number=1, revision=Revision.objects.earliest("pk"))
    before = rows()
    with pytest.raises(CommandError, match="My own class"):
        run("--remove")
    assert rows() == before


@pytest.mark.django_db
def test_a_site_with_a_user_is_left_alone() -> None:
    User.objects.create_user("someone", password="else")
    before = rows()
    assert run("--if-empty") == ""
    with pytest.raises(CommandError, match="empty site"):
        run()
    assert rows() == before
    assert sign_ins() == []


def test_what_is_printed_signs_in(demo: Workshop) -> None:
    code = grouped(kit(SHOWN_KIT).code)
    assert [who for who, _ in sign_ins()] == ["Teacher", "Helper", f"Learner (kit {SHOWN_KIT})"]
    for account, (_, how) in zip((TEACHER, HELPER), sign_ins(), strict=False):
        assert how == f"name {account.username}, password {account.password}, at /sign-in/"
        signed_in = Client().post("/sign-in/", {"username": account.username, "password": account.password})
        assert signed_in.status_code == 302
    assert sign_ins()[-1][1] == f"code {code}, at /join/"
    joined = Client().post("/join/", {"code": code})
    assert (joined.status_code, joined["Location"]) == (302, "/my-kit/")


def test_a_changed_password_is_not_printed(demo: Workshop) -> None:
    teacher = User.objects.get(username=TEACHER.username)
    teacher.set_password("something else")
    teacher.save()
    assert "Teacher" not in dict(sign_ins())
