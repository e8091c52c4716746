"""Real objects for tests: users, a project from the fixture file, a workshop with kits and learners."""

from __future__ import annotations

import datetime
import io
from functools import cache
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from PIL import Image

from kits.models import Kit, Learner, Photo, PrintJob, Submission, Workshop
from kits.services.access import Person
from kits.services.create_workshop import create_workshop
from kits.services.decide import accept
from kits.services.give_example import give_example
from kits.services.hand_in import hand_in
from kits.services.photos import add_photo
from kits.services.publish import publish
from kits.services.roster import add_learners
from projects.circuit.document import Document
from projects.circuit.layout import Layout
from projects.circuit.project_file import read
from projects.importing import import_project
from projects.models import Project

CASE = Path(__file__).parent.parent / "cases" / "lantern-patch.json"


@cache
def lantern() -> Document:
    """The fixture of the project file: one cell, one switch, one light, a layout that passes."""
    return read(CASE.read_bytes())


def make_user(name: str) -> User:
    return User.objects.create_user(name, password=f"{name}-pass-word")


def make_project(owner: User, *, published: bool = True) -> Project:
    project = import_project(owner, lantern())
    if published:
        publish(project)
    return project


def make_workshop(owner: User, *, kits: int = 3, names: tuple[str, ...] = (), title: str = "Friday club") -> Workshop:
    """A workshop of the owner's one project (made if there is none)."""
    project = Project.objects.filter(owner=owner).first() or make_project(owner)
    revision = project.revisions.published().latest("number")
    workshop = create_workshop(owner, title, "Hall", revision, kits, datetime.date.today(), 90)
    if names:
        add_learners(workshop, names)
    return workshop


def with_layout(kit: Kit, layout: Layout | None = None) -> Kit:
    """Give a kit the example layout, or another, as if it had been saved once."""
    if layout is None:
        give_example(kit.workshop, [kit], Person(user=kit.workshop.owner))
    else:
        kit.layout = layout.model_dump(mode="json")
        kit.layout_version += 1
        kit.save()
    return Kit.objects.get(pk=kit.pk)


def handed_in(kit: Kit) -> Submission:
    """The kit's example layout, handed in by a learner of it."""
    kit = with_layout(kit)
    return hand_in(kit, kit.layout_version, Person(kit=kit, learner=kit.learners.first()))


def sewing(kit: Kit) -> Kit:
    """A kit whose layout was accepted."""
    accept(handed_in(kit), Person(user=kit.workshop.owner))
    return Kit.objects.get(pk=kit.pk)


def printed_pack(workshop: Workshop) -> PrintJob:
    """A class pack that its teacher had made, with a file."""
    job = PrintJob.objects.create(workshop=workshop, owner=workshop.owner, state="done", file=f"{workshop.pk}.pdf")
    job.ended_at = job.asked_at
    job.save()
    job.path.parent.mkdir(parents=True, exist_ok=True)
    job.path.write_bytes(b"%PDF-1.7")
    return job


def picture(width: int = 40, height: int = 30, kind: str = "PNG", **extra: Any) -> io.BytesIO:
    """An image file in memory."""
    file = io.BytesIO()
    Image.new("RGB", (width, height), (160, 90, 40)).save(file, kind, **extra)
    file.seek(0)
    return file


def photographed(kit: Kit) -> Photo:
    """A photo of the kit's outside, with permission ticked for all who make it."""
    kit.learners.update(photos_allowed=True)
    file = picture()
    return add_photo(kit, "outside", file, len(file.getvalue()), Person(kit=kit, learner=kit.learners.first()))


def teacher_client(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def learner_client(kit: Kit, learner: Learner | None = None) -> Client:
    """A browser that joined with the kit's code, as a learner does."""
    client = Client()
    answer = client.post("/join/", {"code": kit.code, **({"learner": learner.pk} if learner else {})})
    assert answer.status_code == 302, answer.content
    return client


def page(client: Client, name: str, *args: object) -> str:
    """What a page of `kits` says to this browser, which may open it."""
    answer = client.get(reverse(f"kits:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()
