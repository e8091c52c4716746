"""The pages: what they say, what they keep, how many queries they take."""

from __future__ import annotations

import datetime
import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from kits.models import Kit, Workshop
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help
from kits.services.reports import judge_kit
from projects.circuit.project_file import read, write
from projects.models import Project
from tests.kits.factories import (
    CASE,
    handed_in,
    lantern,
    learner_client,
    make_project,
    make_user,
    make_workshop,
    sewing,
    teacher_client,
    with_layout,
)
from tests.kits.test_services_layouts import beneath

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def text(client: Client, name: str, *args: object) -> str:
    return client.get(reverse(name, args=args)).content.decode()


# --- Home ---------------------------------------------------------------------------------------------------
def test_an_empty_site_says_what_to_do_first() -> None:
    page = text(teacher_client(make_user("new")), "kits:home")
    assert "Three things to begin with" in page
    assert reverse("projects:import") in page


def test_home_shows_today_what_waits_and_projects(workshop: Workshop, teacher: Client) -> None:
    submission = handed_in(workshop.kits.get(number=1))
    page = text(teacher, "kits:home")
    assert reverse("kits:board", args=[workshop.pk]) in page
    assert reverse("kits:submission", args=[submission.pk]) in page
    assert "Lantern patch" in page


def test_a_learner_who_opens_the_start_page_comes_to_their_kit(workshop: Workshop) -> None:
    client = learner_client(workshop.kits.get(number=1))
    assert client.get("/")["Location"] == reverse("kits:my-kit")


# --- Projects -----------------------------------------------------------------------------------------------
def test_a_project_file_goes_in_and_comes_out_the_same() -> None:
    client = teacher_client(make_user("teacher"))
    shown = client.post(reverse("projects:import"), {"file": SimpleUploadedFile("a.json", CASE.read_bytes())})
    assert shown.status_code == 200
    assert "Lantern patch" in shown.content.decode()
    assert not Project.objects.exists()
    answer = client.post(reverse("projects:import"), {"document": shown.context["kept"]["document"].value()})
    project = Project.objects.get()
    assert answer["Location"] == reverse("projects:page", args=[project.pk])
    out = client.get(reverse("projects:export", args=[project.pk, 1]))
    assert read(out.content) == lantern()
    assert out.content == write(lantern())
    assert out["Content-Disposition"] == 'attachment; filename="lantern-patch-1.json"'


def test_a_bad_project_file_is_refused_by_place() -> None:
    client = teacher_client(make_user("teacher"))
    broken = json.loads(CASE.read_bytes())
    broken["project"]["parts"][1]["type"] = "no-such-type"
    upload = SimpleUploadedFile("a.json", json.dumps(broken).encode())
    answer = client.post(reverse("projects:import"), {"file": upload})
    assert answer.status_code == 400
    assert "project.parts[1].type" in answer.content.decode()
    assert not Project.objects.exists()


@pytest.mark.parametrize("data", [b"", b"\x00\xff", b"{}", b"[" * 50_000, b'{"format": "tieoff/1"}', b" " * 2_200_000])
def test_any_bytes_are_refused_clearly(data: bytes) -> None:
    client = teacher_client(make_user("teacher"))
    answer = client.post(reverse("projects:import"), {"file": SimpleUploadedFile("a.json", data)})
    assert answer.status_code == 400
    assert "invalid-feedback" in answer.content.decode()


def test_a_file_in_place_of_the_draft_leaves_what_is_published() -> None:
    owner = make_user("teacher")
    project, client = make_project(owner), teacher_client(owner)
    changed = lantern().model_copy(update={"project": lantern().project.model_copy(update={"title": "Lamp patch"})})
    upload = SimpleUploadedFile("a.json", write(changed))
    client.post(reverse("projects:replace", args=[project.pk]), {"version": 0, "file": upload})
    first, second = project.revisions.order_by("number")
    assert (first.read(), second.read()) == (lantern(), changed)
    assert Project.objects.get().title == "Lamp patch"


def test_the_panels_of_a_project_are_computed_from_its_example() -> None:
    owner = make_user("teacher")
    project, client = make_project(owner), teacher_client(owner)
    assert "<svg" in text(client, "kits:project-report", project.pk)
    assert "Sew the + side" in text(client, "kits:project-plan", project.pk)
    assert "felt, A5 sheet" in text(client, "kits:project-materials", project.pk)


def test_a_panel_takes_the_whole_page_to_sign_in_when_the_session_is_over() -> None:
    project = make_project(make_user("teacher"))
    answer = Client().get(reverse("kits:project-report", args=[project.pk]), headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == reverse("kits:sign-in")


# --- Setting up ---------------------------------------------------------------------------------------------
def test_a_class_is_set_up_from_one_form() -> None:
    owner = make_user("teacher")
    revision = make_project(owner).newest()
    data = {"title": "Club", "place": "", "revision": revision.pk, "kits": 4, "date": "2026-03-06", "minutes": 90}
    answer = teacher_client(owner).post(reverse("kits:workshop-new"), data)
    workshop = Workshop.objects.get()
    assert answer["Location"] == reverse("kits:set-up", args=[workshop.pk])
    assert (workshop.kits.count(), workshop.sessions.get().date) == (4, datetime.date(2026, 3, 6))


def test_a_form_with_a_slip_keeps_what_was_typed() -> None:
    owner = make_user("teacher")
    make_project(owner)
    answer = teacher_client(owner).post(reverse("kits:workshop-new"), {"title": "Moth club", "kits": "999"})
    assert answer.status_code == 400
    assert 'value="Moth club"' in answer.content.decode()
    assert 'value="999"' in answer.content.decode()


@pytest.mark.parametrize("published", [True, False])
def test_nobody_can_make_a_class_of_a_draft_or_of_anothers_project(published: bool) -> None:
    revision = make_project(make_user("teacher"), published=False).newest()
    if published:
        revision = make_project(make_user("other")).newest()
    data = {"title": "Club", "revision": revision.pk, "kits": 1, "date": "2026-03-06", "minutes": 90}
    answer = teacher_client(make_user("third")).post(reverse("kits:workshop-new"), data)
    assert answer.status_code == 400
    assert not Workshop.objects.exists()


def test_names_are_pasted_and_a_bad_line_is_named(workshop: Workshop, teacher: Client) -> None:
    address = reverse("kits:roster", args=[workshop.pk])
    teacher.post(address, {"names": "  Cem \n\nInes\n"})
    assert set(workshop.learners.values_list("display_name", flat=True)) == {"Ayo", "Kaja", "Cem", "Ines"}
    answer = teacher.post(address, {"names": "Noor\n" + "x" * 41})
    assert answer.status_code == 400
    assert "Line 2 is longer than 40" in answer.content.decode()
    assert "Noor" in answer.content.decode()
    assert not workshop.learners.filter(display_name="Noor").exists()


def test_a_kit_of_another_workshop_cannot_be_given(workshop: Workshop, teacher: Client) -> None:
    far = make_workshop(make_user("other")).kits.get(number=1)
    ayo = workshop.learners.get(display_name="Ayo")
    answer = teacher.post(reverse("kits:who-makes-what", args=[workshop.pk]), {f"kit-{ayo.pk}": far.pk})
    assert answer.status_code == 400
    assert not far.learners.exists()


# --- The class board ----------------------------------------------------------------------------------------
def test_the_board_shows_each_kit_and_who_waits(workshop: Workshop, teacher: Client) -> None:
    first, second, _ = workshop.kits.all()
    sewing(first)
    ask_for_help(second, Person(kit=second), "the knot <b>")
    page = text(teacher, "kits:board", workshop.pk)
    assert "phase-sewing" in page
    assert "phase-not-begun" in page
    assert "the knot &lt;b&gt;" in page


def test_the_board_asks_again_only_when_something_happened(workshop: Workshop, teacher: Client) -> None:
    kit = workshop.kits.get(number=1)
    address = reverse("kits:board-rows", args=[workshop.pk])
    ask_for_help(kit, Person(kit=kit))
    since = kit.events.latest("pk").pk
    quiet = teacher.get(address, {"since": since})
    assert (quiet.status_code, quiet.content) == (204, b"")
    sewing(kit)
    assert "phase-sewing" in teacher.get(address, {"since": since}).content.decode()


def test_a_class_without_tablets_is_run_from_the_board(workshop: Workshop, teacher: Client) -> None:
    bulk = reverse("kits:bulk", args=[workshop.pk])
    kits = [kit.pk for kit in workshop.kits.all()]
    for data in ({"action": "give-example"}, {"action": "accept"}, {"action": "tick-stage", "stage": "mark"}):
        answer = teacher.post(bulk, {"kits": kits, **data}, follow=True)
        assert "1, 2, 3" in answer.content.decode()
    assert text(teacher, "kits:board", workshop.pk).count("cell-done") == 3


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"action": "accept"}, "Tick at least one kit first."),
        ({"action": "tick-stage", "kits": "own"}, "Choose the stage to tick."),
        ({"action": "tick-stage", "stage": "mark", "kits": "own"}, "Not ticked, since no layout is accepted"),
        ({"action": "accept", "kits": "own"}, "No layout to accept: kit 1."),
    ],
)
def test_the_board_says_what_it_left_out(workshop: Workshop, teacher: Client, data: dict[str, str], says: str) -> None:
    kits = {"kits": workshop.kits.get(number=1).pk} if "kits" in data else {}
    answer = teacher.post(reverse("kits:bulk", args=[workshop.pk]), {**data, **kits}, follow=True)
    assert says in answer.content.decode()


def test_help_given_answers_with_the_new_board_to_htmx(workshop: Workshop, teacher: Client) -> None:
    kit = workshop.kits.get(number=1)
    ask_for_help(kit, Person(kit=kit))
    answer = teacher.post(reverse("kits:help-given", args=[kit.pk]), headers={"HX-Request": "true"})
    assert "Nobody waits." in answer.content.decode()
    assert "<html" not in answer.content.decode()


# --- One kit ------------------------------------------------------------------------------------------------
def test_the_kit_page_lets_a_finding_pass_with_a_reason(workshop: Workshop, teacher: Client) -> None:
    kit = with_layout(workshop.kits.get(number=1), beneath())
    assert "Let it pass" in text(teacher, "kits:kit", kit.pk)
    address, key = reverse("kits:let-pass", args=[kit.pk]), judge_kit(kit).stops[0].key
    empty = teacher.post(address, {"finding": key, "reason": ""})
    assert empty.status_code == 400
    assert "Write why it may pass." in empty.content.decode()
    teacher.post(address, {"finding": key, "reason": "Taped over."})
    assert "Let pass: Taped over." in text(teacher, "kits:kit", kit.pk)
    teacher.post(reverse("kits:drop-let-pass", args=[kit.pk]), {"finding": key})
    assert "Taped over." not in text(teacher, "kits:kit", kit.pk).split("What happened")[0]


def test_a_submission_is_accepted_or_sent_back(workshop: Workshop, teacher: Client) -> None:
    submission = handed_in(workshop.kits.get(number=1))
    address = reverse("kits:decide", args=[submission.pk])
    assert teacher.post(address, {"decision": "send-back", "reason": " "}).status_code == 400
    teacher.post(address, {"decision": "send-back", "reason": "Move the holder in."})
    learner = learner_client(workshop.kits.get(number=1))
    assert "Move the holder in." in text(learner, "kits:my-kit")
    again = handed_in(workshop.kits.get(number=1))
    teacher.post(reverse("kits:decide", args=[again.pk]), {"decision": "accept"})
    assert "Now: Mark your plan" in text(learner, "kits:my-kit")
    assert teacher.post(address, {"decision": "what"}).status_code == 404


def test_signs_that_no_database_takes_are_refused_everywhere(workshop: Workshop, teacher: Client) -> None:
    """PostgreSQL takes no NUL."""
    kit = sewing(workshop.kits.get(number=1))
    learner = learner_client(kit)
    for client, name, data in (
        (Client(), "kits:join", {"code": "\x00" * 12}),
        (Client(), "kits:sign-in", {"username": "a\x00", "password": "b"}),
        (learner, "kits:my-help", {"about": "a\x00"}),
        (learner, "kits:my-stage", {"stage": "a\x00", "action": "untick"}),
        (teacher, "kits:workshop-new", {"title": "a\x00"}),
    ):
        assert client.post(reverse(name), data).status_code in (200, 302, 400), name
    for name, data in (
        ("kits:let-pass", {"finding": "a\x00", "reason": "b"}),
        ("kits:drop-let-pass", {"finding": "a\x00"}),
        ("kits:kit-stage", {"stage": "a\x00", "action": "tick"}),
        ("kits:kit-stage", {"stage": "mark", "action": "send-back", "reason": "a\x00"}),
    ):
        assert teacher.post(reverse(name, args=[kit.pk]), data).status_code in (302, 400), name
    assert teacher.post(reverse("kits:roster", args=[workshop.pk]), {"names": "a\x00b"}).status_code == 400


# --- A learner ----------------------------------------------------------------------------------------------
def test_a_learner_walks_through_the_stages(workshop: Workshop) -> None:
    kit = sewing(workshop.kits.get(number=1))
    learner, teacher = learner_client(kit), teacher_client(workshop.owner)
    stage = reverse("kits:my-stage")
    for row in kit.stages:
        learner.post(stage, {"action": "tick", "stage": row["name"]})
        if row["look"]:
            assert "Show your teacher" in text(learner, "kits:my-kit")
            teacher.post(reverse("kits:kit-stage", args=[kit.pk]), {"action": "sign-off", "stage": row["name"]})
        if row["goes_on"]:  # the battery goes in after the look: the stage is not done by then
            assert "It is finished!" not in text(learner, "kits:my-kit")
            learner.post(stage, {"action": "tick", "stage": row["name"]})
    assert "It is finished!" in text(learner, "kits:my-kit")


def test_a_learner_asks_for_help_and_takes_it_back(workshop: Workshop) -> None:
    learner = learner_client(workshop.kits.get(number=1))
    learner.post(reverse("kits:my-help"), {"action": "ask", "about": "my knot"})
    assert "You asked for help." in text(learner, "kits:my-kit")
    learner.post(reverse("kits:my-help"), {"action": "drop"})
    assert "Stuck?" in text(learner, "kits:my-kit")


def test_a_learner_hears_of_news_and_of_nothing_else(workshop: Workshop) -> None:
    submission = handed_in(workshop.kits.get(number=1))
    learner = learner_client(workshop.kits.get(number=1))
    address = learner.get(reverse("kits:my-kit")).content.decode().split('hx-get="')[1].split('"')[0]
    assert learner.get(address).status_code == 204
    teacher_client(workshop.owner).post(reverse("kits:decide", args=[submission.pk]), {"decision": "accept"})
    assert "There is news." in learner.get(address).content.decode()


def test_the_codes_of_a_class_are_listed_in_groups(workshop: Workshop, teacher: Client) -> None:
    page = text(teacher, "kits:codes", workshop.pk)
    assert all(kit.shown_code in page for kit in workshop.kits.all())


def test_while_laying_out_what_is_missing_is_still_to_do(workshop: Workshop) -> None:
    kit = with_layout(workshop.kits.get(number=1), lantern().layout.model_copy(update={"lines": ()}))
    page = text(learner_client(kit), "kits:my-findings")
    assert "Still to do" in page
    assert "put this right" not in page
    assert "finding-stop" in text(teacher_client(workshop.owner), "kits:kit", kit.pk)


def test_a_learner_sees_no_code_and_no_other_names(workshop: Workshop) -> None:
    kit = workshop.kits.get(number=1)
    page = text(learner_client(kit), "kits:my-kit")
    assert kit.shown_code not in page
    assert "Kaja" not in page


# --- Every page ---------------------------------------------------------------------------------------------
def test_no_page_has_anything_inline_or_from_elsewhere(workshop: Workshop, teacher: Client) -> None:
    kit = with_layout(workshop.kits.get(number=1), beneath())
    pages = [text(teacher, name, *args) for name, args in pages_of(workshop, kit)]
    learner = learner_client(kit)
    pages += [text(learner, name) for name in ("kits:my-kit", "kits:my-findings")]
    pages += [text(Client(), name) for name in ("kits:sign-in", "kits:join")]
    for page in pages:
        assert "<style" not in page
        assert " style=" not in page
        assert "<script>" not in page
        assert " onclick=" not in page
        assert 'src="http' not in page
        assert page.count("<h1") == 1
        assert len(page.encode()) < 200_000


def pages_of(workshop: Workshop, kit: Kit) -> list[tuple[str, tuple[int, ...]]]:
    project = kit.revision.project
    return [
        ("kits:home", ()),
        ("kits:workshops", ()),
        ("kits:workshop-new", ()),
        ("kits:board", (workshop.pk,)),
        ("kits:roster", (workshop.pk,)),
        ("kits:kit", (kit.pk,)),
        ("projects:list", ()),
        ("projects:import", ()),
        ("projects:page", (project.pk,)),
    ]
