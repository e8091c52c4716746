"""What stands on each sheet, as plain values: computed, in Messages, without any markup. PURE.

A sheet is one frozen value made by one function here; `kits.sheets.html` puts it into markup and
`kits.sheets.render` makes the PDF. A new sheet is a file here, a template, and a row in `kits.sheets.html`.
"""

from kits.sheets.content.materials import MaterialsList, materials_list
from kits.sheets.content.placement import PlacementTemplate, placement_template
from kits.sheets.content.planning import PlanningSheet, planning_sheet
from kits.sheets.content.step_sheet import StepSheet, step_sheet
from kits.sheets.content.values import Heading, SchoolWords, Sheet, Units

__all__ = [
    "Heading",
    "MaterialsList",
    "PlacementTemplate",
    "PlanningSheet",
    "SchoolWords",
    "Sheet",
    "StepSheet",
    "Units",
    "materials_list",
    "placement_template",
    "planning_sheet",
    "step_sheet",
]
