"""What each kit of a workshop takes, from its own circuit and layout as they are saved now."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache

from kits.models import Kit, Workshop
from kits.plan.cuts import Cuts, thread_cuts
from kits.plan.habits import habits_from
from kits.plan.make import make_plan
from kits.plan.values import Plan
from kits.supplies.kit_items import KitCuts, KitNeeds
from projects.circuit.document import Document
from projects.circuit.project import Project
from projects.circuit.sewing import Habits
from projects.stored import document_from

__all__ = ["habits_of", "has_own_layout", "kit_cuts", "kit_needs", "planned_document"]


def has_own_layout(kit: Kit) -> bool:
    """Whether something was laid out for this kit, or its circuit is its own: else the example stands for it."""
    return kit.document is not None or bool(kit.layout.get("places") or kit.layout.get("lines"))


def planned_document(kit: Kit) -> Document:
    """The kit's own circuit and layout, or the project's example while it has none."""
    return kit.read() if has_own_layout(kit) else kit.revision.read()


def habits_of(workshop: Workshop) -> Habits:
    """How this class sews, buys and packs: what its teacher has set, and the usual for the rest."""
    return habits_from(workshop.habits)


def kit_needs(kits: Iterable[Kit]) -> dict[int, KitNeeds]:
    """What each kit needs, with its whole plan, by its id. Expects revisions and learners fetched with the kits."""
    return {kit.pk: KitNeeds(*_planned(_text(kit)), max(1, len(kit.learners.all()))) for kit in kits}


def kit_cuts(kits: Iterable[Kit], habits: Habits) -> dict[int, KitCuts]:
    """The same with the lengths to cut alone, which are far quicker to work out: what buying and packing need."""
    return {kit.pk: KitCuts(*_cut(_text(kit), habits), max(1, len(kit.learners.all()))) for kit in kits}


def _text(kit: Kit) -> str:
    circuit = kit.document if kit.document is not None else kit.revision.document
    layout = kit.layout if has_own_layout(kit) else kit.revision.document.get("layout", {})
    return json.dumps({**circuit, "layout": layout}, sort_keys=True)


# Kits that hold the same, such as the example, are worked out once; so are kits that nobody changed since.


@lru_cache(maxsize=128)
def _planned(text: str) -> tuple[Project, Plan]:
    document = document_from(json.loads(text))
    return document.project, make_plan(document)


@lru_cache(maxsize=512)
def _cut(text: str, habits: Habits) -> tuple[Project, Cuts]:
    document = document_from(json.loads(text))
    return document.project, thread_cuts(document, habits)
