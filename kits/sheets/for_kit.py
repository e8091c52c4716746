"""The sheets of a kit that is in the database: what is sewn, its own layout, or the example while it has none."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from checks.engine import check
from checks.findings import Report
from kits.models import Kit, SchoolNotes
from kits.plan.make import make_plan
from kits.plan.values import Plan
from kits.services.kit_needs import habits_of, has_own_layout, kit_needs
from kits.services.layouts import document_to_sew
from kits.services.reports import Judged
from kits.sheets.content import (
    Card,
    Heading,
    SchoolWords,
    Sheet,
    Units,
    card,
    materials_list,
    parent_page,
    placement_template,
    planning_sheet,
    safety_cards,
    step_sheet,
)
from kits.sheets.content.values import NO_WORDS
from kits.supplies.class_needs import class_needs
from projects.circuit.document import Document
from projects.circuit.sewing import Habits
from projects.said import say
from projects.stored import document_from, document_json

__all__ = ["KIT_SHEETS", "KitOnPaper", "KitSheet", "Wishes", "card_of", "words_of"]


@dataclass(frozen=True)
class Wishes:
    """How sheets are wanted: their units, the school's words, and whether a materials list is for the class too."""

    units: Units = "cm"
    school: SchoolWords = NO_WORDS
    with_class: bool = False


@dataclass(frozen=True)
class KitOnPaper:
    """A kit with all that its sheets need, each worked out once."""

    kit: Kit

    @cached_property
    def example(self) -> bool:
        """Whether the project's example is printed, since the kit has no layout yet."""
        return not has_own_layout(self.kit)

    @cached_property
    def document(self) -> Document:
        return self.kit.revision.read() if self.example else document_to_sew(self.kit)

    @cached_property
    def heading(self) -> Heading:
        return Heading(
            project=self.kit.revision.project.title,
            kit=str(self.kit.number),
            revision=str(self.kit.revision.number),
            learners=tuple(one.display_name for one in self.kit.learners.all() if one.display_name),
            workshop=self.kit.workshop.title,
        )

    @cached_property
    def habits(self) -> Habits:
        """How this class sews and buys."""
        return habits_of(self.kit.workshop)

    @cached_property
    def _worked_out(self) -> tuple[Plan, Report]:
        return _planned_and_checked(json.dumps(document_json(self.document), sort_keys=True), self.habits)

    @property
    def plan(self) -> Plan:
        return self._worked_out[0]

    @cached_property
    def report(self) -> Report:
        """The report without what a teacher let pass."""
        found = self._worked_out[1]
        if self.example:
            return found
        judged = Judged(self.document, found, dict(self.kit.let_passes.values_list("finding", "reason")))
        return replace(found, findings=tuple(one for one in found.findings if not judged.is_passed(one)))

    @property
    def left_handed(self) -> bool:
        return any(learner.left_handed for learner in self.kit.learners.all())


@lru_cache(maxsize=64)
def _planned_and_checked(text: str, habits: Habits) -> tuple[Plan, Report]:
    """Kits that hold the same, such as the example, are planned and checked once."""
    document = document_from(json.loads(text))
    return make_plan(document, habits), check(document)


@dataclass(frozen=True)
class KitSheet:
    """A sheet that can be printed for a kit: what it is called, and how it is made."""

    title: Promise | str
    make: Callable[[KitOnPaper, Wishes], Sheet]


def _step_sheet(on: KitOnPaper, wishes: Wishes) -> Sheet:
    return step_sheet(
        on.document,
        on.plan,
        on.report,
        heading=on.heading,
        units=wishes.units,
        example=on.example,
        left_handed=on.left_handed,
        school=wishes.school,
        say=say,
    )


def _materials(on: KitOnPaper, wishes: Wishes) -> Sheet:
    needs = []
    if wishes.with_class:
        kits = on.kit.workshop.kits.select_related("revision").prefetch_related("learners")
        needs = list(kit_needs(kits, on.habits).values())
    return materials_list(
        on.document,
        on.plan,
        heading=on.heading,
        units=wishes.units,
        kits=len(needs),
        needs=class_needs(needs, on.habits),
    )


def _planning(on: KitOnPaper, wishes: Wishes) -> Sheet:
    return planning_sheet(
        on.document, on.plan, on.report, heading=on.heading, units=wishes.units, example=on.example, say=say
    )


def _template(on: KitOnPaper, wishes: Wishes) -> Sheet:
    return placement_template(
        on.document, on.plan, on.report, heading=on.heading, units=wishes.units, example=on.example, say=say
    )


def _mirrored(on: KitOnPaper, wishes: Wishes) -> Sheet:
    return placement_template(
        on.document,
        on.plan,
        on.report,
        heading=on.heading,
        units=wishes.units,
        example=on.example,
        mirrored=True,
        say=say,
    )


def _parents(on: KitOnPaper, wishes: Wishes) -> Sheet:
    return parent_page(on.document, on.plan, on.report, heading=on.heading, units=wishes.units, school=wishes.school)


def _card(on: KitOnPaper, wishes: Wishes) -> Sheet:
    return safety_cards(on.heading, [card_of(on)], wishes.school)


def card_of(on: KitOnPaper) -> Card:
    """The kit's safety and care card by itself, to stand on a page with others."""
    return card(on.document, on.plan, on.report, heading=on.heading)


KIT_SHEETS: Mapping[str, KitSheet] = {
    "step-sheet": KitSheet(_("Step sheet"), _step_sheet),
    "planning-sheet": KitSheet(_("Planning sheet"), _planning),
    "template": KitSheet(_("Placement template"), _template),
    "template-mirrored": KitSheet(_("Placement template, mirrored for the inside"), _mirrored),
    "materials": KitSheet(_("Materials list"), _materials),
    "parent-page": KitSheet(_("Page for parents"), _parents),
    "safety-card": KitSheet(_("Safety and care card"), _card),
}
"""The sheets of one kit by the name that addresses and print jobs use, in the order in which they are printed."""


def words_of(user_id: int) -> SchoolWords:
    """What this teacher has written for all sheets."""
    notes = SchoolNotes.objects.filter(owner_id=user_id).first()
    return SchoolWords(notes.poison_line, notes.rules, notes.data_kept) if notes else NO_WORDS
