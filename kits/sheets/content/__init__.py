"""What stands on each sheet, as plain values: computed, in Messages, without any markup. PURE.

A sheet is one frozen value made by one function here; `kits.sheets.html` puts it into markup and
`kits.sheets.render` makes the PDF. A new sheet is a file here, a template, and a row in `kits.sheets.html`.
"""

from kits.sheets.content.labels import KitLabel, LabelGrid, LabelSheet, label_sheet
from kits.sheets.content.materials import MaterialsList, materials_list
from kits.sheets.content.parent_page import ParentPage, parent_page
from kits.sheets.content.part_print import PartPrint, part_print
from kits.sheets.content.placement import PlacementTemplate, placement_template
from kits.sheets.content.planning import PlanningSheet, planning_sheet
from kits.sheets.content.safety_card import Card, SafetyCards, card, safety_cards
from kits.sheets.content.shopping import ShoppingList, shopping_list
from kits.sheets.content.step_sheet import StepSheet, step_sheet
from kits.sheets.content.substitute import CellCount, KitNow, SubstitutePage, substitute_page
from kits.sheets.content.values import Heading, SchoolWords, Sheet, Units

__all__ = [
    "Card",
    "CellCount",
    "Heading",
    "KitLabel",
    "KitNow",
    "LabelGrid",
    "LabelSheet",
    "MaterialsList",
    "ParentPage",
    "PartPrint",
    "PlacementTemplate",
    "PlanningSheet",
    "SafetyCards",
    "SchoolWords",
    "Sheet",
    "ShoppingList",
    "StepSheet",
    "SubstitutePage",
    "Units",
    "card",
    "label_sheet",
    "materials_list",
    "parent_page",
    "part_print",
    "placement_template",
    "planning_sheet",
    "safety_cards",
    "shopping_list",
    "step_sheet",
    "substitute_page",
]
