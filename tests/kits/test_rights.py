"""Who may do what: every address × everyone × GET and POST, each cell asserted on real objects.

An address without a row fails, and so does a row without an address.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

import pytest
from django.contrib.admin.sites import site as admin_site
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from kits.models import Kit, Photo, StockItem, Submission, Workshop
from kits.services.states import state_of_kit
from kits.services.stock_counts import new_item
from kits.supplies.kit_items import part_item
from projects.circuit.catalogue import catalogue
from projects.models import Project
from tests.kits.factories import (
    handed_in,
    learner_client,
    make_user,
    make_workshop,
    photographed,
    printed_pack,
    sewing,
    teacher_client,
)

pytestmark = pytest.mark.django_db

CAST = ("nobody", "other learner", "learner", "helper", "other teacher", "teacher")

# Statuses in the order of CAST, for GET and for POST. 302 for nobody leads to a sign-in page; 404 hides what is
# not theirs; 400 is a form that came back; 204 no news. POST without any data, unless DATA has some.
EVERYONE_200 = "200 200 200 200 200 200"
EVERYONE_405 = "405 405 405 405 405 405"
TEACHERS_200 = "302 404 404 200 200 200"
STAFF_200 = "302 404 404 200 404 200"
OWNER_200 = "302 404 404 404 404 200"
OWNER_302 = "302 404 404 404 404 302"
OWNER_400 = "302 404 404 404 404 400"
STAFF_302 = "302 404 404 302 404 302"
TABLE: dict[str, tuple[str, str]] = {
    "healthz": ("200 200 200 200 200 200", "200 200 200 200 200 200"),
    "kits:home": ("302 302 302 200 200 200", EVERYONE_405),
    "kits:sign-in": ("200 200 200 302 302 302", "200 200 200 302 302 302"),
    "kits:sign-out": (EVERYONE_405, "302 302 302 302 302 302"),
    "kits:join": ("200 200 200 200 200 200", "400 400 400 400 400 400"),
    "kits:join-by-link": ("200 200 200 200 200 200", EVERYONE_405),
    "kits:leave": (EVERYONE_405, "302 302 302 302 302 302"),
    "kits:my-kit": ("302 200 200 404 404 404", EVERYONE_405),
    "kits:my-news": ("302 200 200 404 404 404", EVERYONE_405),
    "kits:my-findings": ("302 200 200 404 404 404", EVERYONE_405),
    "kits:my-help": (EVERYONE_405, "302 302 302 404 404 404"),
    "kits:my-stage": (EVERYONE_405, "302 302 302 404 404 404"),
    # Neither learner sews yet, so both are sent to their kit.
    "kits:my-sewing": ("302 302 302 404 404 404", EVERYONE_405),
    "kits:my-step": (EVERYONE_405, "302 302 302 404 404 404"),
    "kits:my-reading": (EVERYONE_405, "302 302 302 404 404 404"),
    "kits:my-otherwise": ("302 302 302 404 404 404", "302 302 302 404 404 404"),
    "kits:my-photos": ("302 200 200 404 404 404", "302 400 400 404 404 404"),
    "kits:who": ("302 200 200 404 404 404", "302 400 400 404 404 404"),
    "kits:photo": ("302 404 200 200 404 200", EVERYONE_405),
    "kits:photo-remove": (EVERYONE_405, "302 404 302 404 404 404"),  # once the learner has removed it
    "kits:kit-photo": (EVERYONE_405, OWNER_302),
    "kits:photo-permission": (EVERYONE_405, OWNER_302),
    "kits:kit-sewing": (STAFF_200, EVERYONE_405),
    "kits:kit-note": (EVERYONE_405, OWNER_400),
    "kits:compare": (STAFF_200, EVERYONE_405),
    "kits:short-code": (EVERYONE_405, OWNER_200),
    "kits:attendance": (EVERYONE_405, OWNER_302),
    "kits:learners-out": (EVERYONE_405, OWNER_302),
    "kits:workshops": (TEACHERS_200, EVERYONE_405),
    "kits:workshop-new": (TEACHERS_200, "302 404 404 400 400 400"),
    "kits:board": (STAFF_200, EVERYONE_405),
    "kits:board-rows": (STAFF_200, EVERYONE_405),
    "kits:bulk": (EVERYONE_405, OWNER_302),
    "kits:roster": (OWNER_200, OWNER_400),
    "kits:who-makes-what": (EVERYONE_405, OWNER_302),
    "kits:codes": (OWNER_200, EVERYONE_405),
    "kits:more-kits": (EVERYONE_405, OWNER_400),
    "kits:kit": (STAFF_200, EVERYONE_405),
    "kits:let-pass": (EVERYONE_405, OWNER_302),
    "kits:drop-let-pass": (EVERYONE_405, OWNER_302),
    "kits:kit-stage": (EVERYONE_405, OWNER_302),
    "kits:new-code": (EVERYONE_405, OWNER_302),
    "kits:help-given": (EVERYONE_405, STAFF_302),
    "kits:layout": ("302 404 200 404 404 200", EVERYONE_405),
    "kits:layout-worker": ("200 200 200 200 200 200", EVERYONE_405),
    "kits:layout-save": (EVERYONE_405, "403 404 400 404 404 400"),
    "kits:hand-in": (EVERYONE_405, "302 404 302 404 404 302"),
    "kits:step-sheet": ("302 404 200 200 404 200", EVERYONE_405),
    "kits:materials": ("302 404 200 200 404 200", EVERYONE_405),
    "kits:kit-working": ("302 404 200 200 404 200", EVERYONE_405),
    "kits:project-working": (OWNER_200, EVERYONE_405),
    "kits:kit-sheet": ("302 404 200 200 404 200", EVERYONE_405),
    "kits:label": (OWNER_200, OWNER_400),
    "kits:print": (OWNER_200, OWNER_400),
    "kits:labels": (OWNER_200, OWNER_400),
    "kits:substitute": (STAFF_200, EVERYONE_405),
    "kits:print-panel": (OWNER_200, EVERYONE_405),
    "kits:print-cancel": (EVERYONE_405, OWNER_302),
    "kits:print-again": (EVERYONE_405, OWNER_302),
    "kits:print-file": (OWNER_200, EVERYONE_405),
    "kits:school-notes": (TEACHERS_200, "302 404 404 302 302 302"),
    "kits:submission": ("302 404 200 200 404 200", EVERYONE_405),
    "kits:decide": (EVERYONE_405, STAFF_302),
    "kits:example-layout": (OWNER_200, EVERYONE_405),
    "kits:example-layout-save": (EVERYONE_405, OWNER_400),
    "kits:publish-project": (EVERYONE_405, OWNER_302),
    "kits:project-report": (OWNER_200, EVERYONE_405),
    "kits:project-plan": (OWNER_200, EVERYONE_405),
    "kits:project-materials": (OWNER_200, EVERYONE_405),
    "checks:guide": (EVERYONE_200, EVERYONE_405),
    "checks:guide-page": (EVERYONE_200, EVERYONE_405),
    "kits:packing": (OWNER_200, EVERYONE_405),
    "kits:reserve": (EVERYONE_405, OWNER_302),
    "kits:waste-and-spares": (EVERYONE_405, OWNER_400),
    "kits:set-out": (EVERYONE_405, OWNER_302),
    "kits:kit-packing": (EVERYONE_405, OWNER_302),
    "kits:leftovers": (OWNER_200, OWNER_302),
    "kits:spare": (OWNER_200, OWNER_400),
    "kits:workshop-shopping": (OWNER_200, EVERYONE_405),
    "kits:workshop-shopping-came": (EVERYONE_405, OWNER_302),
    "kits:workshop-shopping-csv": (OWNER_200, EVERYONE_405),
    "kits:workshop-shopping-list": (OWNER_200, EVERYONE_405),
    # Every teacher has a cupboard of their own.
    "kits:shopping": (TEACHERS_200, EVERYONE_405),
    "kits:shopping-came": (EVERYONE_405, "302 404 404 302 302 302"),
    "kits:shopping-csv": (TEACHERS_200, EVERYONE_405),
    "kits:shopping-list": (TEACHERS_200, EVERYONE_405),
    "kits:stock": (TEACHERS_200, EVERYONE_405),
    "kits:stock-short": (TEACHERS_200, EVERYONE_405),
    "kits:stock-new": (TEACHERS_200, "302 404 404 400 400 400"),
    "kits:stock-item": (OWNER_200, EVERYONE_405),
    "kits:stock-deliver": (EVERYONE_405, OWNER_400),
    "kits:stock-correct": (EVERYONE_405, OWNER_400),
    "kits:stock-lose": (EVERYONE_405, OWNER_400),
    "kits:stock-offer": (EVERYONE_405, OWNER_400),
    "kits:stock-drop-offer": (EVERYONE_405, OWNER_302),
    "kits:project-stages": (OWNER_200, OWNER_400),
    "kits:part-print": (OWNER_200, EVERYONE_405),
    "kits:move-revision": (OWNER_200, OWNER_302),
    "kits:circuit": ("302 404 200 404 404 200", "302 404 302 404 404 302"),
    # Before and after the class; of the tools of a session, see also the cover teacher below.
    "kits:quick-start": (TEACHERS_200, "302 404 404 400 400 400"),
    "kits:demo-projects": (EVERYONE_405, "302 404 404 302 302 302"),
    "kits:invitation": (TEACHERS_200, "302 404 404 400 400 400"),
    "kits:set-up": (OWNER_200, EVERYONE_405),
    "kits:details": (OWNER_200, OWNER_400),
    "kits:copy-workshop": (OWNER_200, OWNER_400),
    "kits:new-codes": (EVERYONE_405, OWNER_302),
    "kits:roster-list": (OWNER_200, OWNER_400),
    "kits:learner": (OWNER_200, OWNER_400),
    "kits:erase-learner": (EVERYONE_405, OWNER_400),
    "kits:erase": (OWNER_200, OWNER_400),
    "kits:sessions": (OWNER_200, OWNER_400),
    "kits:session": (OWNER_200, OWNER_400),
    "kits:session-remove": (EVERYONE_405, OWNER_302),
    "kits:session-plan": (OWNER_200, EVERYONE_405),
    "kits:tools": (OWNER_200, OWNER_400),
    "kits:tool-count": (OWNER_200, EVERYONE_405),
    "kits:count-tools": (EVERYONE_405, OWNER_302),
    "kits:close-tools": (EVERYONE_405, OWNER_302),
    "kits:tool-sheet": (OWNER_200, EVERYONE_405),
    "kits:class-today": (OWNER_200, EVERYONE_405),
    "kits:helpers": (OWNER_200, OWNER_400),
    "kits:remove-helper": (EVERYONE_405, OWNER_302),
    "kits:marks": (OWNER_200, EVERYONE_405),
    "kits:marks-csv": (OWNER_200, EVERYONE_405),
    "kits:marks-sheet": (OWNER_200, EVERYONE_405),
    "kits:kit-marks": (OWNER_200, OWNER_302),
    "kits:kit-record": (OWNER_200, EVERYONE_405),
    "projects:list": ("302 302 302 200 200 200", EVERYONE_405),
    "projects:import": ("302 302 302 200 200 200", "302 302 302 400 400 400"),
    "projects:new": ("302 302 302 200 200 200", "302 302 302 400 400 400"),
    "projects:section": ("302 302 302 404 404 200", EVERYONE_405),
    "projects:edit": (EVERYONE_405, "302 302 302 404 404 400"),
    "projects:undo": (EVERYONE_405, "302 302 302 404 404 302"),
    "projects:redo": (EVERYONE_405, "302 302 302 404 404 302"),
    "projects:part-type": ("302 302 302 404 404 200", EVERYONE_405),
    "projects:draw-part-type": (EVERYONE_405, "302 302 302 404 404 200"),
    "projects:copy": (EVERYONE_405, "302 302 302 404 404 302"),
    "projects:share": (EVERYONE_405, "302 302 302 404 404 400"),
    "projects:unshare": (EVERYONE_405, "302 302 302 404 404 302"),
    "projects:page": ("302 302 302 404 404 200", EVERYONE_405),
    "projects:replace": (EVERYONE_405, "302 302 302 404 404 400"),
    "projects:export": ("302 302 302 404 404 200", EVERYONE_405),
}
DATA: dict[str, dict[str, str]] = {
    "kits:let-pass": {"finding": "under-part||s1||", "reason": "The back is taped."},
    "kits:kit-stage": {"action": "tick", "stage": "mark"},
    "kits:decide": {"decision": "send-back", "reason": "Move the holder in."},
    "kits:my-step": {"step": "cut:s3"},
}


@dataclass
class World:
    """A class with a kit that has handed in, another class of another teacher, and a browser for everyone."""

    workshop: Workshop
    kit: Kit
    submission: Submission
    project: Project
    item: StockItem
    photo: Photo
    clients: dict[str, Client]

    def address(self, name: str) -> str:
        owned = {
            "workshop_id": self.workshop.pk,
            "kit_id": self.kit.pk,
            "submission_id": self.submission.pk,
            "project_id": self.project.pk,
            "item_id": self.item.pk,
            "session_id": self.workshop.sessions.get().pk,
            "learner_id": self.workshop.learners.get().pk,
            "photo_id": self.photo.pk,
            "number": 1,
            "section": "circuit",
            "what": "title",
            "share_id": 1,
            "type_name": "coin-holder",
            "job_id": self.workshop.print_jobs.get().pk,
            "sheet": "planning-sheet",
            "code": self.kit.code,
            "rule": "short",
        }
        return reverse(name, kwargs={key: owned[key] for key in parameters()[name]})


@pytest.fixture
def world() -> World:
    return make_world()


def make_world() -> World:
    """All that `TABLE` speaks of, in the database."""
    teacher, helper, other = make_user("teacher"), make_user("helper"), make_user("other")
    workshop, elsewhere = make_workshop(teacher, names=("Ayo",)), make_workshop(other, names=("Kaja",))
    workshop.helpers.add(helper)
    kit, far = workshop.kits.get(number=1), elsewhere.kits.get(number=1)
    # Nothing of the other class may match by chance.
    assert kit.pk != far.pk
    submission = handed_in(kit)
    printed_pack(workshop)
    clients = {
        "nobody": Client(),
        "other learner": learner_client(far),
        "learner": learner_client(kit),
        "helper": teacher_client(helper),
        "other teacher": teacher_client(other),
        "teacher": teacher_client(teacher),
    }
    photo = photographed(kit)
    item = new_item(teacher, part_item(catalogue()["light-white"]))
    return World(workshop, Kit.objects.get(pk=kit.pk), submission, kit.revision.project, item, photo, clients)


def walk(patterns: list[URLPattern | URLResolver], namespace: str = "") -> Iterator[tuple[str, set[str]]]:
    """Full name and parameters of every address but the administration's."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            if pattern.namespace != "admin":
                inner = f"{pattern.namespace}:" if pattern.namespace else namespace
                yield from walk(pattern.url_patterns, inner)
        else:
            assert pattern.name, f"{pattern.pattern} has no name"
            yield f"{namespace}{pattern.name}", set(pattern.pattern.converters)


def parameters() -> dict[str, set[str]]:
    return dict(walk(get_resolver().url_patterns))


def test_every_address_has_a_row_and_every_row_an_address() -> None:
    names = [name for name, _ in walk(get_resolver().url_patterns)]
    assert sorted(names) == sorted(TABLE)


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize("name", TABLE)
def test_everyone_gets_what_the_table_says(world: World, name: str, method: str) -> None:
    address, row = world.address(name), TABLE[name][method == "POST"]
    got = {}
    for who in CAST:  # the teacher last: what they do may change what others find
        client = world.clients[who]
        response = client.get(address) if method == "GET" else client.post(address, DATA.get(name, {}))
        got[who] = response.status_code
    assert got == dict(zip(CAST, map(int, row.split()), strict=True))


@pytest.mark.parametrize("name", [name for name in TABLE if "_id" in str(parameters()[name])])
def test_what_does_not_exist_looks_like_what_is_not_theirs(world: World, name: str) -> None:
    address = world.address(name)
    missing = reverse(name, kwargs={key: 987_654 for key in parameters()[name]})
    for who in ("nobody", "other learner", "other teacher"):
        client = world.clients[who]
        theirs, gone = client.post(address, DATA.get(name, {})), client.post(missing, DATA.get(name, {}))
        assert (theirs.status_code, theirs.content) == (gone.status_code, gone.content)
        theirs, gone = client.get(address), client.get(missing)
        assert (theirs.status_code, theirs.content) == (gone.status_code, gone.content)


def test_forms_of_another_site_are_refused(world: World) -> None:
    """Cross-site request forgery: without the token nothing is done, whoever's cookies come along."""
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = world.clients["teacher"].cookies
    for name in TABLE:
        if TABLE[name][1] != EVERYONE_405:
            assert strict.post(world.address(name), DATA.get(name, {})).status_code == 403, name


def test_the_administration_is_closed_to_everyone_here(world: World) -> None:
    indexes = [
        "admin:index",
        *(f"admin:{m._meta.app_label}_{m._meta.model_name}_changelist" for m in admin_site._registry),
    ]
    for who in CAST:
        for name in indexes:
            for method in ("get", "post"):
                response = getattr(world.clients[who], method)(reverse(name))
                assert response.status_code == 302
                assert response["Location"].startswith(reverse("admin:login"))


def test_a_helper_gives_looks_and_nothing_else(world: World) -> None:
    """Of one address that does several things, each is asserted."""
    helper, address = world.clients["helper"], world.address("kits:kit-stage")
    assert helper.post(address, {"action": "sign-off", "stage": "mark"}).status_code == 302
    assert helper.post(address, {"action": "send-back", "stage": "mark", "reason": "Loose."}).status_code == 302
    for action in ("tick", "untick", ""):
        assert helper.post(address, {"action": action, "stage": "mark"}).status_code == 404


COVER_MAY_TOO = {
    ("kits:class-today", "GET"): 200,
    ("kits:tool-count", "GET"): 200,
    ("kits:tool-sheet", "GET"): 200,
    ("kits:count-tools", "POST"): 302,
    ("kits:close-tools", "POST"): 302,
    ("kits:attendance", "POST"): 302,
    ("kits:bulk", "POST"): 302,
    ("kits:kit-stage", "POST"): 302,
}


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize("days", [-1, 0, 1])
def test_a_cover_teacher_is_a_helper_who_counts_on_that_day_and_nobody_on_any_other(
    world: World, days: int, method: str
) -> None:
    """Every address, on the day, the day before it and the day after it."""
    cover = make_user("cover")
    world.workshop.covers.create(user=cover, day=timezone.localdate() + timedelta(days=days))
    client = teacher_client(cover)
    expected, got = {}, {}
    for name, row in TABLE.items():
        if name in ("kits:sign-out", "kits:leave"):  # these would end the browser's session
            continue
        codes = dict(zip(CAST, map(int, row[method == "POST"].split()), strict=True))
        as_helper = COVER_MAY_TOO.get((name, method), codes["helper"])
        expected[name] = as_helper if days == 0 else codes["other teacher"]
        address = world.address(name)
        got[name] = getattr(client, method.lower())(address, DATA.get(name, {})).status_code
    assert got == expected


def test_a_cover_teacher_ticks_a_stage_for_a_whole_table(world: World) -> None:
    """Paper mode: the class board is theirs for the day."""
    kit = sewing(world.kit)
    Kit.objects.filter(pk=kit.pk).update(table="window")
    cover = make_user("cover")
    client, board = teacher_client(cover), reverse("kits:board", args=[world.workshop.pk])
    tick = {"action": "tick-stage", "stage": "mark", "of_table": "window"}
    assert client.post(world.address("kits:bulk"), tick).status_code == 404
    world.workshop.covers.create(user=cover, day=timezone.localdate())
    shown = client.get(board).content.decode()
    assert 'value="tick-stage"' in shown
    assert f'id="kit-{kit.pk}"' in shown
    assert "Sign all tablets out" not in shown
    assert "Stage ticked for kit" in client.post(world.address("kits:bulk"), tick, follow=True).content.decode()
    assert "mark" in state_of_kit(kit).done
    page = client.get(reverse("kits:kit", args=[kit.pk])).content.decode()
    assert 'value="untick"' in page
    client.post(world.address("kits:kit-stage"), {"action": "untick", "stage": "mark"})
    assert "mark" not in state_of_kit(kit).done


def test_a_cover_teacher_counts_only_the_tools_of_today(world: World) -> None:
    cover = make_user("cover")
    today = timezone.localdate()
    world.workshop.covers.create(user=cover, day=today)
    other = world.workshop.sessions.create(date=today + timedelta(days=7), minutes=90)
    assert teacher_client(cover).get(reverse("kits:tool-count", args=[other.pk])).status_code == 404


def test_a_replaced_code_ends_what_it_opened(world: World) -> None:
    assert world.clients["learner"].get(reverse("kits:my-kit")).status_code == 200
    world.clients["teacher"].post(world.address("kits:new-code"))
    assert world.clients["learner"].get(reverse("kits:my-kit")).status_code == 302


def test_a_learner_taken_off_a_kit_is_out(world: World) -> None:
    world.kit.learners.clear()
    assert world.clients["learner"].get(reverse("kits:my-kit")).status_code == 302
