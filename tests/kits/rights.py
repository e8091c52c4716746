"""Who may do what, as a table: every address × everyone × GET and POST; and a class of which it speaks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from kits.models import Kit, Photo, StockItem, Submission, Workshop
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
    teacher_client,
)

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
