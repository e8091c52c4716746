"""The sheets of a kit that is in the database: its own layout, or the example while it has none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from checks.engine import check
from checks.findings import Report
from kits.models import Kit, Workshop
from kits.plan.make import make_plan
from kits.plan.values import Plan
from kits.services.reports import judge_kit
from kits.sheets.content import Heading, MaterialsList, StepSheet, Units, materials_list, step_sheet
from kits.supplies.class_needs import KitNeeds, class_needs
from projects.circuit.document import Document
from projects.said import say

__all__ = ["materials_list_for", "step_sheet_for"]


@dataclass(frozen=True)
class _Printed:
    """What is printed for a kit; `example`: the project's example, since the kit has no layout yet."""

    document: Document
    example: bool


def step_sheet_for(kit: Kit, units: Units = "cm") -> StepSheet:
    """The step sheet of the kit's layout as it is saved now; findings that were let pass do not stop it."""
    printed = _printed(kit)
    return step_sheet(
        printed.document,
        make_plan(printed.document),
        check(printed.document) if printed.example else _standing(kit),
        heading=_heading(kit),
        units=units,
        example=printed.example,
        left_handed=any(learner.left_handed for learner in kit.learners.all()),
        say=say,
    )


def materials_list_for(kit: Kit, units: Units = "cm", *, with_class: bool = False) -> MaterialsList:
    """The materials list of the kit; with `with_class`, also what all kits of its workshop take together."""
    document = _printed(kit).document
    needs = list(_needs(kit.workshop)) if with_class else []
    return materials_list(
        document,
        make_plan(document),
        heading=_heading(kit),
        units=units,
        kits=len(needs),
        needs=class_needs(needs),
    )


def _heading(kit: Kit) -> Heading:
    return Heading(
        project=kit.revision.project.title,
        kit=str(kit.number),
        revision=str(kit.revision.number),
        learners=tuple(learner.display_name for learner in kit.learners.all() if learner.display_name),
        workshop=kit.workshop.title,
    )


def _printed(kit: Kit) -> _Printed:
    own = kit.read()
    if own.layout.places or own.layout.lines or kit.document is not None:
        return _Printed(own, False)
    return _Printed(kit.revision.read(), True)


def _standing(kit: Kit) -> Report:
    """The report without what a teacher let pass."""
    judged = judge_kit(kit)
    return replace(
        judged.report, findings=tuple(found for found in judged.report.findings if not judged.is_passed(found))
    )


def _needs(workshop: Workshop) -> Iterator[KitNeeds]:
    """Every kit with its own plan; kits that hold the same, such as the example, are planned once."""
    plans: dict[str, Plan] = {}
    for kit in workshop.kits.select_related("revision").prefetch_related("learners"):
        document = _printed(kit).document
        key = document.model_dump_json()
        if key not in plans:
            plans[key] = make_plan(document)
        yield KitNeeds(document.project, plans[key], max(1, len(kit.learners.all())))
