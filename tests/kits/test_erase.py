"""Deleting personal data: after it no name is left anywhere, and all that is counted is as it was."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.sessions.models import Session as BrowserSession
from django.db import connection
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from kits.models import Event, Kit, Learner, Mark, PrintJob, StockMovement, Submission, Workshop
from kits.models.codes import normalised
from kits.services.access import Person
from kits.services.board import read_board
from kits.services.calls_for_help import ask_for_help
from kits.services.decide import send_back
from kits.services.erase import erase_learner, erase_personal_data, what_to_erase
from kits.services.events import log
from kits.services.hand_in import hand_in
from kits.services.layouts import NotNow
from kits.services.let_pass import let_pass
from kits.services.marks import marks_of, save_marks
from kits.services.plan_stages import planned_stages
from kits.services.roster import assign_learners
from kits.services.stock_counts import correct, new_item
from kits.services.tool_counts import change_count, close_count, read_tools
from kits.services.without_names import Names
from kits.supplies.kit_items import part_item
from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.project_file import read, write
from projects.stored import document_json, layout_json
from tests.kits.factories import (
    lantern,
    learner_client,
    make_user,
    make_workshop,
    photographed,
    printed_pack,
    teacher_client,
)

pytestmark = pytest.mark.django_db

NAMES = ("Wrenfield", "Ottoline", "Ingrith")
KEPT = (Path(settings.MEDIA_ROOT), Path(settings.DATA_DIR) / "print-jobs")
Commit = Callable[..., AbstractContextManager[object]]


def renamed() -> Document:
    """The lantern, with names of learners for all that a learner may name."""
    text = write(lantern()).decode()
    data = json.loads(text)
    data["project"]["title"] = "Ottoline’s lantern"
    for connection_ in data["project"]["connections"]:
        if connection_["name"] == "middle":
            connection_["name"] = "Wrenfield"
    for number, line in enumerate(data["layout"]["lines"]):
        line["name"] = f"Wrenfield-{number}"
    return read(json.dumps(data).encode())


@pytest.fixture
def workshop() -> Workshop:
    """A class in which the names of its learners stand wherever anything can be written."""
    for folder in KEPT:  # files of a test before are not of this class
        shutil.rmtree(folder, ignore_errors=True)
    teacher = make_user("teacher")
    workshop = make_workshop(teacher, kits=4, names=NAMES, title="Club of Ingrith and others")
    Workshop.objects.filter(pk=workshop.pk).update(place="Wrenfield’s hall")
    workshop.refresh_from_db()
    ours, staff = workshop.kits.get(number=1), Person(user=teacher)
    learners = {one.display_name: one for one in workshop.learners.all()}
    pair = workshop.kits.get(number=2)
    # Wrenfield alone on kit 1, the others share kit 2.
    assign_learners(
        workshop,
        {learners["Wrenfield"]: ours, learners["Ottoline"]: pair, learners["Ingrith"]: pair},
        {learners["Ottoline"].pk},
    )
    document = renamed()
    Kit.objects.filter(pk=ours.pk).update(
        document=document_json(document),
        layout=layout_json(document.layout),
        layout_version=1,
        stages=planned_stages(document),
        table="Ingrith’s",
    )
    ours.refresh_from_db()
    submission = hand_in(ours, 1, Person(kit=ours, learner=learners["Wrenfield"]))
    send_back(submission, staff, "Wrenfield, turn the light round.")
    for kit in (ours, pair):
        ask_for_help(kit, Person(kit=kit, learner=kit.learners.first()), "Ottoline has my scissors")
    log(pair, Event.Kind.NOTE, staff.signs, text="Ingrith and OTTOLINE work well together")
    let_pass(pair, "too-close||Wrenfield-1||", "Ottoline will watch it", staff)
    mark_and_count(workshop)
    photographed(pair)
    job = printed_pack(workshop)
    job.path.write_bytes(b"%PDF-1.7 Wrenfield + Ottoline")
    return workshop


def mark_and_count(workshop: Workshop) -> None:
    for level in marks_of(workshop):
        for row in level.rows:
            marks = {criterion: 2 for criterion in level.criteria}
            save_marks(row.kit, row.learner, marks, f"{row.name} helps Ingrith", workshop.owner)
    session, tray = workshop.sessions.get(), workshop.tool_trays.get()
    workshop.sessions.update(note="Ingrith and Ottoline were away.")
    workshop.tool_trays.update(name="Table of Wrenfield")
    workshop.tool_kinds.filter(name="Meters").update(name="Ottoline’s meter")
    change_count(session, tray, workshop.tool_kinds.first(), "out", 2, workshop.owner)
    close_count(session, "Ingrith took one home", workshop.owner)
    light = part_item(catalogue()["light-white"])
    new_item(workshop.owner, light)
    correct(workshop.owner, light, 5000, "counted by Ottoline")


def everything_kept() -> dict[str, str]:
    """All text of the database by table, as one piece each, whatever the column's kind; and browsers' sessions read."""
    found = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            rows = cursor.fetchall()
            found[table] = "\n".join(_plain(value) for row in rows for value in row)
    found["sessions, read"] = " ".join(str(one.get_decoded()) for one in BrowserSession.objects.all())
    return found


def _plain(value: object) -> str:
    """Signs as they are, however JSON has written them."""
    text = value.tobytes().decode(errors="replace") if isinstance(value, memoryview) else str(value)
    return text + text.encode("ascii", "ignore").decode("unicode_escape", errors="replace") if "\\u" in text else text


def files_kept() -> dict[str, bytes]:
    return {str(path): path.read_bytes() for folder in KEPT for path in folder.rglob("*") if path.is_file()}


def where_is(name: str) -> list[str]:
    """The tables and files in which a name stands, whatever its capitals."""
    name = name.casefold()
    tables = [table for table, text in everything_kept().items() if name in text.casefold()]
    return tables + [
        path for path, data in files_kept().items() if name.encode() in data.lower() + path.lower().encode()
    ]


def counted(workshop: Workshop) -> dict[str, object]:
    """What is to stay."""
    return {
        "kits": list(workshop.kits.values_list("number", "revision", "layout_version")),
        "phases": [(row.kit.number, row.state.phase, row.state.done) for row in read_board(workshop).rows],
        "events": list(Event.objects.values_list("pk", "kit", "kind", "at", "learner")),
        "submissions": list(Submission.objects.values_list("pk", "kit", "number", "handed_in_at")),
        "marks": list(Mark.objects.values_list("kit", "learner", "stage", "level")),
        "stock": list(StockMovement.objects.values_list("item", "number", "change", "on_hand")),
        "tools": [(one.out, one.back, one.home) for one in read_tools(workshop.sessions.get()).totals],
        "learners": workshop.learners.count(),
    }


def test_the_search_finds_each_name_where_it_was_written(workshop: Workshop) -> None:
    """Or else finding nothing would prove nothing."""
    tables = {table for name in NAMES for table in where_is(name)}
    written = ("learner", "remark", "letpass", "submission", "kit", "workshop", "session", "tooltray", "toolkind")
    written += ("closingreason", "markcomment", "stockmovement")
    assert {f"kits_{table}" for table in written} <= tables
    assert any("print-jobs" in path for path in tables)


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
    assert DBTaskResult._meta.db_table in where_is("Wrenfield")
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
