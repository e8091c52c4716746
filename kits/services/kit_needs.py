"""What each kit of a workshop takes, from its own circuit and layout as they are saved now."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache

from kits.models import Kit
from kits.plan.make import make_plan
from kits.plan.values import Plan
from kits.supplies.kit_items import KitNeeds
from projects.circuit.document import Document
from projects.stored import document_from

__all__ = ["has_own_layout", "kit_needs", "planned_document"]


def has_own_layout(kit: Kit) -> bool:
    """Whether something was laid out for this kit, or its circuit is its own: else the example stands for it."""
    return kit.document is not None or bool(kit.layout.get("places") or kit.layout.get("lines"))


def planned_document(kit: Kit) -> Document:
    """The kit's own circuit and layout, or the project's example while it has none."""
    return kit.read() if has_own_layout(kit) else kit.revision.read()


def kit_needs(kits: Iterable[Kit]) -> dict[int, KitNeeds]:
    """What each kit needs, by its id. Expects revisions and learners to be fetched with the kits."""
    return {kit.pk: _needs_of(kit) for kit in kits}


def _needs_of(kit: Kit) -> KitNeeds:
    circuit = kit.document if kit.document is not None else kit.revision.document
    layout = kit.layout if has_own_layout(kit) else kit.revision.document.get("layout", {})
    document, plan = _planned(json.dumps({**circuit, "layout": layout}, sort_keys=True))
    return KitNeeds(document.project, plan, max(1, len(kit.learners.all())))


@lru_cache(maxsize=128)
def _planned(text: str) -> tuple[Document, Plan]:
    """Kits that hold the same, such as the example, are planned once; so are kits that nobody changed since."""
    document = document_from(json.loads(text))
    return document, make_plan(document)
