"""What each kit of a workshop takes, from the circuit and layout that it is sewn by."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from kits.models import Kit, Submission, Workshop
from kits.plan.cuts import Cuts, thread_cuts
from kits.plan.habits import habits_from
from kits.plan.make import make_plan
from kits.plan.values import Plan
from kits.services.states import states_of_kits
from kits.supplies.kit_items import KitCuts, KitNeeds
from projects.circuit.document import Document
from projects.circuit.project import Project
from projects.circuit.sewing import Habits
from projects.stored import document_from

__all__ = ["habits_of", "has_own_layout", "kit_cuts", "kit_needs", "planned", "planned_document", "texts_to_sew"]


def has_own_layout(kit: Kit) -> bool:
    """Whether something was laid out for this kit, or its circuit is its own: else the example stands for it."""
    return kit.document is not None or bool(kit.layout.get("places") or kit.layout.get("lines"))


def planned_document(kit: Kit) -> Document:
    """What the kit is sewn by, or the project's example while it has nothing of its own."""
    return document_from(json.loads(texts_to_sew([kit])[kit.pk]))


def texts_to_sew(kits: Iterable[Kit]) -> dict[int, str]:
    """The document that each kit is sewn by, as text, by its id; two queries for all of them.

    What was accepted once sewing has begun, until then what is saved (see `document_to_sew`), and the project's
    example while there is nothing of its own. Expects revisions to be fetched with the kits.
    """
    held = list(kits)
    states = states_of_kits(held)
    accepted = {kit.pk: states[kit.pk].accepted or 0 for kit in held if states[kit.pk].sewing_begun}
    sewn = dict(Submission.objects.filter(pk__in=accepted.values()).values_list("pk", "document"))
    return {kit.pk: _text(sewn[accepted[kit.pk]] if kit.pk in accepted else _saved(kit)) for kit in held}


def habits_of(workshop: Workshop) -> Habits:
    """How this class sews, buys and packs: what its teacher has set, and the usual for the rest."""
    return habits_from(workshop.habits)


def kit_needs(kits: Iterable[Kit], habits: Habits) -> dict[int, KitNeeds]:
    """What each kit needs, with its whole plan, by its id. Expects revisions and learners fetched with the kits."""
    held = list(kits)
    texts = texts_to_sew(held)
    return {kit.pk: KitNeeds(*planned(texts[kit.pk], habits), _makers(kit)) for kit in held}


def kit_cuts(kits: Iterable[Kit], habits: Habits, texts: Mapping[int, str] | None = None) -> dict[int, KitCuts]:
    """The same with the lengths to cut alone, which are far quicker to work out: what buying and packing need.

    `texts`: what `texts_to_sew` said of these kits, where it was asked for many workshops at once.
    """
    held = list(kits)
    texts = texts_to_sew(held) if texts is None else texts
    return {kit.pk: KitCuts(*_cut(texts[kit.pk], habits), _makers(kit)) for kit in held}


def _makers(kit: Kit) -> int:
    return max(1, len(kit.learners.all()))


def _saved(kit: Kit) -> dict[str, Any]:
    circuit = kit.document if kit.document is not None else kit.revision.document
    layout = kit.layout if has_own_layout(kit) else kit.revision.document.get("layout", {})
    return {**circuit, "layout": layout}


def _text(document: dict[str, Any]) -> str:
    return json.dumps(document, sort_keys=True)


# Kits that hold the same, such as the example, are worked out once; so are kits that nobody changed since.


@lru_cache(maxsize=256)
def planned(text: str, habits: Habits) -> tuple[Project, Plan]:
    """The project and the plan of a document that is kept as text."""
    document = document_from(json.loads(text))
    return document.project, make_plan(document, habits)


@lru_cache(maxsize=512)
def _cut(text: str, habits: Habits) -> tuple[Project, Cuts]:
    document = document_from(json.loads(text))
    return document.project, thread_cuts(document, habits)
