"""Marks: by whose criteria, what is kept, the file for a spreadsheet, the sheets."""

from __future__ import annotations

import csv
import io

import pytest
from django.test import Client
from django.urls import reverse

from kits.models import Event, Kit, Mark, Workshop
from kits.plan.criteria import criteria_of
from kits.plan.make import make_plan
from kits.services.access import Person
from kits.services.board import read_board
from kits.services.events import log
from kits.services.marks import evidence_of, marks_of, save_marks
from kits.services.roster import assign_learners
from kits.services.stage_ticks import tick_stage
from kits.services.states import state_of_kit
from projects.circuit.document import Document
from projects.circuit.project import Criterion
from tests.kits.factories import (
    lantern,
    learner_client,
    make_user,
    make_workshop,
    photographed,
    sewing,
    teacher_client,
)
from tests.kits.pdf_reading import page_words, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    """Kit 1 is a pair's, kit 2 of nobody, kit 3 a spare."""
    workshop = make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))
    first = workshop.kits.get(number=1)
    assign_learners(workshop, {learner: first for learner in workshop.learners.all()}, set())
    workshop.kits.filter(number=3).update(spare=True)
    return workshop


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def with_criteria(*criteria: tuple[str, str]) -> Document:
    own = tuple(Criterion(stage=stage, text=text) for stage, text in criteria)
    return lantern().model_copy(update={"project": lantern().project.model_copy(update={"criteria": own})})


def test_a_projects_own_criteria_come_in_the_order_of_its_stages() -> None:
    document = with_criteria(("test", "Tests."), ("no such", "Odd."), ("mark", "Marks."), ("layout", "Plans."))
    found = criteria_of(document.project, make_plan(document).stages)
    assert [(one.stage, one.text) for one in found] == [
        ("layout", "Plans."),
        ("mark", "Marks."),
        ("test", "Tests."),
        ("no such", "Odd."),
    ]


def test_without_criteria_there_are_the_usual_four() -> None:
    found = criteria_of(lantern().project, make_plan(lantern()).stages)
    assert [one.stage for one in found] == ["layout", "sew", "test", "finish"]


def test_each_of_a_pair_is_marked_and_a_spare_is_not(workshop: Workshop) -> None:
    (level,) = marks_of(workshop)
    assert [(row.kit.number, row.name) for row in level.rows] == [(1, "Ayo"), (1, "Kaja"), (2, "")]


def test_marks_are_kept_changed_and_taken_back(workshop: Workshop) -> None:
    (level,) = marks_of(workshop)
    for row in level.rows:
        save_marks(row.kit, row.learner, dict.fromkeys(level.criteria, 2), "Good.", workshop.owner)
        save_marks(row.kit, row.learner, {level.criteria[0]: 3, level.criteria[1]: None}, "Better.", workshop.owner)
    (level,) = marks_of(workshop)
    assert {tuple(row.levels) for row in level.rows} == {(Mark.Level.BEYOND, None, Mark.Level.ALONE, Mark.Level.ALONE)}
    assert {row.comment for row in level.rows} == {"Better."}
    assert Mark.objects.count() == 9


def form_of(kit: Kit, level: str = "2", comment: str = "Careful.") -> dict[str, str]:
    learners = [learner.pk for learner in kit.learners.all()] or [0]
    data = {f"m{pk}-level-{number}": level for pk in learners for number in range(4)}
    return data | {f"m{pk}-comment": comment for pk in learners}


def test_a_kit_is_marked_on_its_page_and_the_next_follows(workshop: Workshop, teacher: Client) -> None:
    first, second = workshop.kits.get(number=1), workshop.kits.get(number=2)
    address = reverse("kits:kit-marks", args=[first.pk])
    assert teacher.post(address, form_of(first) | {"next": "1"})["Location"] == reverse(
        "kits:kit-marks", args=[second.pk]
    )
    assert Mark.objects.filter(kit=first).count() == 8
    last = teacher.post(reverse("kits:kit-marks", args=[second.pk]), form_of(second) | {"next": "1"})
    assert last["Location"] == reverse("kits:marks", args=[workshop.pk])  # the third is a spare
    assert "on their own" in teacher.get(last["Location"]).content.decode()


def test_what_is_wrong_keeps_what_was_typed(workshop: Workshop, teacher: Client) -> None:
    first = workshop.kits.get(number=1)
    answer = teacher.post(reverse("kits:kit-marks", args=[first.pk]), form_of(first, level="9", comment="Typed"))
    assert answer.status_code == 400
    assert "Typed" in answer.content.decode()
    assert not Mark.objects.exists()


def test_a_spare_kit_has_no_page_of_marks(workshop: Workshop, teacher: Client) -> None:
    for name in ("kit-marks", "kit-record"):
        assert teacher.get(reverse(f"kits:{name}", args=[workshop.kits.get(number=3).pk])).status_code == 404


def test_learners_and_helpers_never_see_marks(workshop: Workshop) -> None:
    kit = workshop.kits.get(number=1)
    helper = make_user("helper")
    workshop.helpers.add(helper)
    for client in (learner_client(kit, kit.learners.first()), teacher_client(helper)):
        for name in ("kit-marks", "kit-record"):
            assert client.get(reverse(f"kits:{name}", args=[kit.pk])).status_code == 404


def test_evidence_is_what_happened(workshop: Workshop, teacher: Client) -> None:
    kit = sewing(workshop.kits.get(number=1))
    log(kit, Event.Kind.NOTE, {"user": workshop.owner, "learner": None}, text="Helped the next table.")
    found = evidence_of(kit)
    assert (found.submissions, found.sent_back, found.accepted_first) == (1, 0, True)
    page = teacher.get(reverse("kits:kit-marks", args=[kit.pk])).content.decode()
    assert "Helped the next table." in page
    assert "accepted at once" in page
    assert reverse("kits:submission", args=[kit.submissions.get().pk]) in page


def test_the_file_holds_every_mark_and_no_formula(workshop: Workshop, teacher: Client) -> None:
    workshop.learners.filter(display_name="Ayo").update(display_name="=cmd|calc")
    (level,) = marks_of(workshop)
    save_marks(level.rows[0].kit, level.rows[0].learner, {level.criteria[0]: 1}, "-2+3; @home", workshop.owner)
    answer = teacher.get(reverse("kits:marks-csv", args=[workshop.pk]))
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert rows[0] == ["project", "kit", "name", "stage", "criterion", "level", "mark", "comment"]
    assert len(rows) == 1 + 3 * 4
    marked = next(row for row in rows if row[6] == "with help")
    assert (marked[2], marked[5], marked[7]) == ("'=cmd|calc", "1", "'-2+3; @home")
    assert not any(cell[:1] in tuple("=+-@\t\r") for row in rows for cell in row if cell)


def test_the_sheet_and_the_record_say_what_was_marked(workshop: Workshop, teacher: Client) -> None:
    kit = sewing(workshop.kits.get(number=1))
    for stage in kit.stages:
        tick_stage(kit, stage["name"], Person(user=workshop.owner))
    assert state_of_kit(kit).phase == "finished"
    (level,) = marks_of(workshop)
    for row, comment in zip(level.rows, ("Found the fault alone.", "Sews evenly.", ""), strict=True):
        save_marks(row.kit, row.learner, dict.fromkeys(level.criteria, 3), comment, workshop.owner)
    sheet = words(teacher.get(reverse("kits:marks-sheet", args=[workshop.pk])).content)
    for text in (
        "Ayo",
        "Kaja",
        "more than asked",
        "Found the fault alone.",
        "Makes a plan that the check lets through",
    ):
        assert text in sheet
    pages = page_words(teacher.get(reverse("kits:kit-record", args=[kit.pk])).content)
    assert len(pages) == 2  # one each of the pair
    assert "Finished." in pages[0]
    assert "Found the fault alone." in pages[0]
    assert "Sews evenly." in pages[1]
    ayo = workshop.learners.get(display_name="Ayo")
    one = page_words(teacher.get(reverse("kits:kit-record", args=[kit.pk]) + f"?learner={ayo.pk}").content)
    assert len(one) == 1
    assert "Kaja" not in one[0]
    for other in ("0", "x", str(ayo.pk + 999)):
        assert teacher.get(reverse("kits:kit-record", args=[kit.pk]) + f"?learner={other}").status_code == 404


def test_marks_do_not_move_the_board(workshop: Workshop) -> None:
    before = [row.state for row in read_board(workshop).rows]
    (level,) = marks_of(workshop)
    save_marks(level.rows[0].kit, level.rows[0].learner, dict.fromkeys(level.criteria, 3), "", workshop.owner)
    assert [row.state for row in read_board(workshop).rows] == before


def test_photos_are_there_to_judge_by_only_with_permission(workshop: Workshop, teacher: Client) -> None:
    kit = workshop.kits.get(number=1)
    address, picture = reverse("kits:kit-marks", args=[kit.pk]), reverse("kits:photo", args=[photographed(kit).pk])
    assert picture in teacher.get(address).content.decode()
    kit.learners.filter(display_name="Kaja").update(photos_allowed=False)
    assert picture not in teacher.get(address).content.decode()


def test_stages_are_called_by_their_titles_there(workshop: Workshop, teacher: Client) -> None:
    kit = sewing(workshop.kits.get(number=1))
    log(kit, Event.Kind.SIGNED_OFF, Person(user=workshop.owner).signs, stage="mark")
    title = next(stage["title"] for stage in kit.stages if stage["name"] == "mark")
    page = teacher.get(reverse("kits:kit-marks", args=[kit.pk])).content.decode()
    assert f"signed off: {title}" in page
