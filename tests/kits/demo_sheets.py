"""All sheets of all demo projects, sound and with a mistake, as they are printed."""

from collections.abc import Iterator
from dataclasses import replace

from checks.engine import check
from kits.demo.examples import examples
from kits.demo.mistakes import beneath_holder
from kits.plan.make import make_plan
from kits.sheets.content import (
    CellCount,
    Heading,
    KitNow,
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
    substitute_page,
)
from kits.supplies.class_needs import KitNeeds, class_needs
from projects.circuit.document import Document
from projects.said import say

__all__ = ["SCHOOL", "demo_sheets", "sheets_of"]

SCHOOL = SchoolWords(
    "Quillmere poison line, 0555 010 010",
    "Needles stay in the red tin. A grown-up opens the battery drawer.",
    "To the end of the school year.",
)


def demo_sheets(units: Units) -> Iterator[tuple[str, Sheet]]:
    """Name and sheet, for each project."""
    for name, document in examples().items():
        yield from sheets_of(name, document, units)
    wrong = beneath_holder(examples()["firefly-jar"])
    yield from sheets_of("with stops", wrong, units)
    yield "substitute", _substitute()


def sheets_of(name: str, document: Document, units: Units) -> Iterator[tuple[str, Sheet]]:
    plan, report = make_plan(document), check(document)
    heading = Heading(document.project.title, "7", "3", ("Mila", "Tarek"), "Wednesday sewing club")
    wrong = name == "with stops"
    needs = class_needs([KitNeeds(document.project, plan)] * 12)
    common = {"heading": heading, "units": units}
    drawn = {**common, "say": say, "example": not wrong}
    one = card(document, plan, report, heading=heading)
    yield f"{name}: step sheet", step_sheet(document, plan, report, **drawn, school=SCHOOL, left_handed=wrong)
    yield f"{name}: planning sheet", planning_sheet(document, plan, report, **drawn)
    yield f"{name}: template", placement_template(document, plan, report, **drawn)
    yield f"{name}: template, mirrored", placement_template(document, plan, report, **drawn, mirrored=True)
    yield f"{name}: materials", materials_list(document, plan, **common, kits=12, needs=needs)
    yield f"{name}: parents", parent_page(document, plan, report, **common, school=SCHOOL)
    yield f"{name}: cards", safety_cards(heading, [one, replace(one), replace(one)], SCHOOL)


def _substitute() -> Sheet:
    phases = ("not-begun", "laying-out", "handed-in", "sent-back", "sewing", "finished")
    kits = [
        KitNow(
            number,
            ("Maximiliane-Josephine", "Bartholomäus"),
            ("Bartholomäus",),
            False,
            phases[number % 6],
            stage="Sew the line light-3",
            waits=number == 10,
            reason="The line to L3 touches the holder. Move it down." if number % 6 == 3 else "",
            help_about="my thread is stuck" if number == 4 else None,
        )
        for number in range(1, 33)
    ]
    cells = [CellCount("Sew-on holder, 20 mm coin cell", 32)]
    heading = Heading("Quillmere sewing club", workshop="Quillmere sewing club")
    return substitute_page(
        heading, kits, cells, made_at="25 November 2026, 09:35", set_out_minutes=12, count_back_minutes=8, school=SCHOOL
    )
