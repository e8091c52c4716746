"""Sheets as HTML: the border where Messages become words of the reader's language and all text is escaped."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils import translation

from kits.sheets.content import (
    LabelSheet,
    MaterialsList,
    ParentPage,
    PartPrint,
    PlacementTemplate,
    PlanningSheet,
    SafetyCards,
    Sheet,
    ShoppingList,
    StepSheet,
    SubstitutePage,
)
from kits.sheets.content.marks import LearnerRecord, MarksSheet
from kits.sheets.content.session_plan import SessionPlan
from kits.sheets.content.tool_count import ToolCountSheet

__all__ = ["SCHEME", "HtmlSheet", "to_html"]

SCHEME = "sheet:"
"""Pictures in the HTML are named `sheet:…`; nothing else can be fetched while rendering."""

_TEMPLATES: Mapping[type[Sheet], str] = {
    StepSheet: "kits/sheets/step_sheet.html",
    MaterialsList: "kits/sheets/materials_list.html",
    PlanningSheet: "kits/sheets/planning_sheet.html",
    PlacementTemplate: "kits/sheets/placement_template.html",
    ShoppingList: "kits/sheets/shopping_list.html",
    LabelSheet: "kits/sheets/label_sheet.html",
    SubstitutePage: "kits/sheets/substitute_page.html",
    PartPrint: "kits/sheets/part_print.html",
    ParentPage: "kits/sheets/parent_page.html",
    SafetyCards: "kits/sheets/safety_cards.html",
    SessionPlan: "kits/sheets/session_plan.html",
    ToolCountSheet: "kits/sheets/tool_count.html",
    MarksSheet: "kits/sheets/marks.html",
    LearnerRecord: "kits/sheets/record.html",
}


@dataclass(frozen=True)
class HtmlSheet:
    """One sheet as HTML, and the SVG pictures that it shows, by their `sheet:` address."""

    html: str
    pictures: Mapping[str, str]


def to_html(sheet: Sheet) -> HtmlSheet:
    """The sheet as one HTML page in the current language."""
    html = render_to_string(
        _TEMPLATES[type(sheet)], {"sheet": sheet, "scheme": SCHEME, "language": translation.get_language() or "en"}
    )
    return HtmlSheet(html, {f"{SCHEME}{name}": svg for name, svg in sheet.images().items()})
