"""Deleting personal data: after it no name is left anywhere, and all that is counted is as it was."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from django.apps import apps
from django.db import connection, models
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from kits.models import Event, Kit, Learner, Mark, PrintJob, StockMovement, Submission, Workshop
from kits.models.codes import normalised
from kits.services.access import Person
from kits.services.board import read_board
from kits.services.calls_for_help import ask_for_help
from kits.services.erase import erase_learner, erase_personal_data, what_to_erase
from kits.services.layouts import NotNow
from kits.services.tool_counts import read_tools
from kits.services.without_names import Names
from tests.kits.erasure import (
    NAMES,
    class_full_of_names,
    everything_kept,
    files_kept,
    renamed,
    where_is,
)
from tests.kits.factories import (
    learner_client,
    make_user,
    make_workshop,
    teacher_client,
)

pytestmark = pytest.mark.django_db

Commit = Callable[..., AbstractContextManager[object]]

TEXTS = [
    f"{model._meta.db_table}.{field.column}"
    for model in apps.get_models()
    if model._meta.app_label in ("kits", "projects", "admin")
    for field in model._meta.concrete_fields
    if isinstance(field, models.CharField | models.TextField | models.JSONField) and not field.choices
]
"""Every field of the site that can hold words."""

_TEACHER = "the teacher's own, for all classes; no field for or about a learner"
_CODE = "made by the program at random, or a digest"
_PLAN = "set from figures or fixed words alone"

NO_NAMES = {
    "projects_project.title": _TEACHER,
    "projects_revision.document": _TEACHER,
    "projects_draftstep.said": _TEACHER,
    "projects_draftstep.other": _TEACHER,
    "projects_projectshare.name": "a colleague's user name",
    "kits_schoolnotes.poison_line": _TEACHER,
    "kits_schoolnotes.rules": _TEACHER,
    "kits_schoolnotes.data_kept": _TEACHER,
    "kits_schoolnotes.label_grid": _PLAN,
    "kits_workshop.habits": _PLAN,
    "kits_kit.code": _CODE,
    "kits_failedtry.address": _CODE,
    "kits_failedtry.beginning": _CODE,
    "kits_shortcode.digest": _CODE,
    "kits_invitation.code": _CODE,
    "kits_printjob.options": _PLAN,
    "kits_printjob.file": _CODE,
    "kits_printjob.task_id": _CODE,
    "kits_stockitem.code": "a part type's name in a file or ohms; never typed by hand",
    "django_admin_log.object_id": "a number",
}
"""The fields without a name in the class that is deleted below, each with why."""


@pytest.fixture
def workshop() -> Workshop:
    return class_full_of_names()


def counted(workshop: Workshop) -> dict[str, object]:
    """What is to stay."""
    return {
        "kits": list(workshop.kits.values_list("number", "revision", "layout_version")),
        "phases": [(row.kit.number, row.state.phase, row.state.done) for row in read_board(workshop).rows],
        "events": list(Event.objects.values_list("pk", "kit", "kind", "at", "learner")),
        "submissions": list(Submission.objects.values_list("pk", "kit", "number", "handed_in_at")),
        "marks": list(Mark.objects.values_list("kit", "learner", "level")),
        "stock": list(StockMovement.objects.values_list("item", "number", "change", "on_hand")),
        "tools": [(one.out, one.back, one.home) for one in read_tools(workshop.sessions.get()).totals],
        "learners": workshop.learners.count(),
    }


def test_the_search_finds_each_name_where_it_was_written(workshop: Workshop) -> None:
    """Or else finding nothing would prove nothing."""
    found = {place for name in NAMES for place in where_is(name)}
    assert set(TEXTS) - found == set(NO_NAMES)
    assert any("print-jobs" in path for path in found)


def test_each_reason_is_of_a_field_that_there_is() -> None:
    assert [place for place in NO_NAMES if place not in TEXTS] == []


def test_after_it_no_name_is_left_in_any_table_or_file(
    workshop: Workshop, django_capture_on_commit_callbacks: Commit
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        erase_personal_data(workshop)
    assert {name: where_is(name) for name in NAMES} == {name: [] for name in NAMES}
    assert files_kept() == {}
    assert not Learner.objects.filter(left_handed=True).exists()


def test_what_is_counted_stays(workshop: Workshop) -> None:
    before = counted(workshop)
    erase_personal_data(workshop)
    assert counted(workshop) == before


def test_what_stays_can_still_be_read(workshop: Workshop) -> None:
    erase_personal_data(workshop)
    kit = workshop.kits.get(number=1)
    names = {line.name for line in kit.read().layout.lines}
    assert len(names) == len(renamed().layout.lines)
    assert kit.submissions.get().read().layout == kit.read().layout
    client = teacher_client(workshop.owner)
    for name in ("board", "set-up", "roster", "sessions", "marks", "packing", "erase"):
        assert client.get(reverse(f"kits:{name}", args=[workshop.pk])).status_code == 200
    for name in ("kit", "kit-marks", "step-sheet", "kit-record"):
        assert client.get(reverse(f"kits:{name}", args=[kit.pk])).status_code == 200
    assert client.get(reverse("kits:submission", args=[kit.submissions.get().pk])).status_code == 200


def test_labels_open_nothing_any_more_and_whoever_is_in_is_out(workshop: Workshop) -> None:
    learner, code = learner_client(workshop.kits.get(number=1)), workshop.kits.get(number=1).code
    erase_personal_data(workshop)
    assert learner.get(reverse("kits:my-kit")).status_code == 302
    assert not Kit.objects.filter(code=normalised(code)).exists()


def test_words_of_the_project_stay_though_a_learner_is_called_so() -> None:
    names = Names(["Light"])
    value = {"ref": "Light", "note": "Light is late", "text": "Light {a}", "values": {"a": "Light-1"}, "rule": "light"}
    assert names.out_of_json(value, keep={"Light"}) == {
        "ref": "Light",
        "note": "x1 is late",
        "text": "Light {a}",
        "values": {"a": "x1-1"},
        "rule": "light",
    }


def test_one_learner_goes_and_the_others_stay(workshop: Workshop, django_capture_on_commit_callbacks: Commit) -> None:
    learner = workshop.learners.get(display_name="Wrenfield")
    code = workshop.kits.get(number=1).code
    with django_capture_on_commit_callbacks(execute=True):
        erase_learner(learner)
    assert where_is("Wrenfield") == []
    assert where_is("Ottoline") != []
    assert not Mark.objects.filter(learner=learner).exists()
    assert Mark.objects.exists()
    assert workshop.kits.get(number=1).code != code
    assert workshop.kits.get(number=1).submissions.count() == 1


def test_one_of_a_pair_goes_and_the_kit_keeps_its_label(
    workshop: Workshop, django_capture_on_commit_callbacks: Commit
) -> None:
    pair = workshop.kits.get(number=2)
    other = learner_client(pair, workshop.learners.get(display_name="Ottoline"))
    gone = learner_client(pair, workshop.learners.get(display_name="Ingrith"))
    with django_capture_on_commit_callbacks(execute=True):
        erase_learner(workshop.learners.get(display_name="Ingrith"))
    assert where_is("Ingrith") == []
    assert other.get(reverse("kits:my-kit")).status_code == 200
    assert gone.get(reverse("kits:my-kit")).status_code == 302


def test_it_waits_for_a_pack_that_is_being_made(workshop: Workshop) -> None:
    PrintJob.objects.update(state=PrintJob.State.RUNNING)
    for erase in (lambda: erase_personal_data(workshop), lambda: erase_learner(workshop.learners.first())):
        with pytest.raises(NotNow, match="being made"):
            erase()
    assert where_is("Wrenfield") != []


def test_a_failed_pack_leaves_no_trace_of_its_error(workshop: Workshop) -> None:
    task = DBTaskResult.objects.create(
        task_path="kits.tasks.make_print_job",
        backend_name="default",
        args_kwargs={"args": [1], "kwargs": {}},
        exception_class_path="builtins.ValueError",
        traceback="ValueError: Wrenfield",
    )
    PrintJob.objects.update(task_id=str(task.pk))
    assert f"{DBTaskResult._meta.db_table}.traceback" in where_is("Wrenfield")
    erase_personal_data(workshop)
    assert not DBTaskResult.objects.exists()


def test_it_is_explained_and_asked_for_before(workshop: Workshop) -> None:
    client, address = teacher_client(workshop.owner), reverse("kits:erase", args=[workshop.pk])
    there = what_to_erase(workshop)
    page = client.get(address).content.decode()
    assert f"{there.names} names" in page
    assert f"{there.texts} texts" in page
    assert "1 photo" in page
    assert client.post(address).status_code == 400
    assert where_is("Wrenfield") != []
    assert client.post(address, {"sure": "on"})["Location"] == reverse("kits:set-up", args=[workshop.pk])
    assert what_to_erase(workshop) == type(there)(0, 0, 0, 0)
    workshop.refresh_from_db()
    assert workshop.names_erased_at is not None


@pytest.mark.django_db(transaction=True)
def test_no_name_stays_in_the_files_of_sqlite_or_in_the_rows_of_postgresql() -> None:
    """Deleted rows are overwritten, and the journal is emptied."""
    workshop = make_workshop(make_user("teacher"), kits=2, names=NAMES)
    ask_for_help(workshop.kits.first(), Person(kit=workshop.kits.first()), "Wrenfield has my thread")
    assert "Wrenfield" in _written()
    erase_personal_data(workshop)
    assert [name for name in NAMES if name in _written()] == []


def _written() -> str:
    if connection.vendor != "sqlite":
        return str(everything_kept())
    name = str(connection.settings_dict["NAME"])
    files = [Path(name), Path(f"{name}-wal")]
    return "".join(path.read_bytes().decode("latin-1") for path in files if path.exists())
