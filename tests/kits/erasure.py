"""A class in which names stand wherever anything can be written, and a search of all that is kept for a name."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from django.conf import settings
from django.contrib.admin.models import CHANGE, LogEntry
from django.contrib.auth.models import User
from django.contrib.contenttypes.models import ContentType
from django.contrib.sessions.models import Session as BrowserSession
from django.db import connection
from django.db.models import QuerySet

from kits.models import Event, Kit, Mark, PrintJob, SessionGoal, StockOffer, Submission, Workshop
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help
from kits.services.decide import send_back
from kits.services.events import log
from kits.services.hand_in import hand_in
from kits.services.let_pass import let_pass
from kits.services.marks import marks_of, save_marks
from kits.services.plan_stages import planned_stages
from kits.services.roster import assign_learners
from kits.services.stock_counts import correct, new_item
from kits.services.tool_counts import change_count, close_count
from kits.supplies.items import Item
from kits.supplies.kit_items import part_item
from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.project_file import read, write
from projects.stored import document_json, layout_json
from tests.kits.factories import lantern, make_user, make_workshop, photographed, printed_pack

NAMES = ("Wrenfield", "Ottoline", "Ingrith")
KEPT = (Path(settings.MEDIA_ROOT), Path(settings.DATA_DIR) / "print-jobs")


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


def class_full_of_names() -> Workshop:
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
    sewn = [*submission.report["sewn"], ["Wrenfield.p1", "Wrenfield.p2"]]
    QuerySet(Submission).filter(pk=submission.pk).update(report={**submission.report, "sewn": sewn})
    send_back(submission, staff, "Wrenfield, turn the light round.")
    lines = {"lines": ["Wrenfield-1"]}
    log(ours, Event.Kind.SEWN_OTHERWISE, staff.signs, stage="Wrenfield", step="Wrenfield/1", payload=lines)
    for kit in (ours, pair):
        ask_for_help(kit, Person(kit=kit, learner=kit.learners.first()), "Ottoline has my scissors")
    log(pair, Event.Kind.NOTE, staff.signs, text="Ingrith and OTTOLINE work well together")
    let_pass(pair, "too-close||Wrenfield-1||", "Ottoline will watch it", staff)
    mark_and_count(workshop)
    photographed(pair)
    job = printed_pack(workshop)
    job.path.write_bytes(b"%PDF-1.7 Wrenfield + Ottoline")
    PrintJob.objects.filter(pk=job.pk).update(why="Wrenfield’s sheet failed", doing="Ottoline")
    stock_and_log(workshop, teacher)
    return workshop


def stock_and_log(workshop: Workshop, teacher: User) -> None:
    """What lies beside the class: the cupboard, the goals of sessions, the log of the administration."""
    felt = new_item(teacher, Item("supply", "", "felt for Ottoline", "sheet of Ingrith"))
    StockOffer.objects.create(item=felt, name="where Wrenfield's mother works", size=1, price=1)
    goal = SessionGoal(session=workshop.sessions.get(), revision=workshop.kits.first().revision, stage="Wrenfield")
    goal.save()
    mark = Mark.objects.filter(kit__number=2).first()
    Mark.objects.filter(pk=mark.pk).update(stage="Wrenfield", text="Ingrith’s criterion")
    LogEntry.objects.create(
        user=teacher,
        content_type=ContentType.objects.get_for_model(Workshop),
        object_id=str(workshop.pk),
        object_repr=workshop.title,
        action_flag=CHANGE,
        change_message="Place of Ottoline",
    )


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
    """All text of the database by table and column, whatever the column's kind; and browsers' sessions read."""
    found = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            columns = [column[0] for column in cursor.description]
            for column, values in zip(columns, zip(*cursor.fetchall(), strict=True), strict=False):
                found[f"{table}.{column}"] = "\n".join(map(_plain, values))
    found["sessions, read"] = " ".join(str(one.get_decoded()) for one in BrowserSession.objects.all())
    return found


def _plain(value: object) -> str:
    """Signs as they are, however JSON has written them."""
    text = value.tobytes().decode(errors="replace") if isinstance(value, memoryview) else str(value)
    return text + text.encode("ascii", "ignore").decode("unicode_escape", errors="replace") if "\\u" in text else text


def files_kept() -> dict[str, bytes]:
    return {str(path): path.read_bytes() for folder in KEPT for path in folder.rglob("*") if path.is_file()}


def where_is(name: str) -> list[str]:
    """The columns and files in which a name stands, whatever its capitals."""
    name = name.casefold()
    columns = [column for column, text in everything_kept().items() if name in text.casefold()]
    return columns + [
        path for path, data in files_kept().items() if name.encode() in data.lower() + path.lower().encode()
    ]
