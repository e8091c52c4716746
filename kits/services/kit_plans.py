"""The sewing plan of each kit of a workshop, from its own circuit and layout as they are saved now."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from kits.models import Kit
from kits.plan.make import make_plan
from kits.plan.values import Plan
from kits.services.kit_needs import has_own_layout
from projects.circuit.project import Project
from projects.circuit.sewing import Habits
from projects.stored import document_from

__all__ = ["KitPlan", "kit_plans"]


@dataclass(frozen=True)
class KitPlan:
    """One kit: its project, its plan, and how many make it (at least one)."""

    project: Project
    plan: Plan
    learners: int


def kit_plans(kits: Iterable[Kit], habits: Habits) -> dict[int, KitPlan]:
    """The plan of each kit, by its id; the example's while a kit has no layout.

    Expects revisions and learners to be fetched with the kits.
    """
    return {kit.pk: _plan_of(kit, habits) for kit in kits}


def _plan_of(kit: Kit, habits: Habits) -> KitPlan:
    circuit = kit.document if kit.document is not None else kit.revision.document
    layout = kit.layout if has_own_layout(kit) else kit.revision.document.get("layout", {})
    project, plan = _planned(json.dumps({**circuit, "layout": layout}, sort_keys=True), habits)
    return KitPlan(project, plan, max(1, len(kit.learners.all())))


@lru_cache(maxsize=256)
def _planned(text: str, habits: Habits) -> tuple[Project, Plan]:
    """Kits that hold the same, such as the example, are planned once; so are kits that nobody changed since."""
    document = document_from(json.loads(text))
    return document.project, make_plan(document, habits)
