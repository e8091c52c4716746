"""What stands on the sheets, as values."""

import math
import re
from pathlib import Path

import pytest
from django.conf import settings
from hypothesis import given
from hypothesis import strategies as st

import kits.sheets
from checks.engine import check
from kits.demo.examples import examples
from kits.plan.make import make_plan
from kits.plan.meter import MeterKind, meter_range
from kits.plan.values import Reading
from kits.sheets.content import materials_list, step_sheet
from kits.sheets.content.cautions import FOR_LEARNERS
from kits.sheets.content.lengths import MM_PER_INCH, cut_length
from kits.sheets.content.meter import reading_row
from kits.sheets.content.pictures import BOX_MM, overlay
from kits.sheets.content.pins import _SUPPLY, _USES, pin_rows
from kits.sheets.content.threads import line_labels, with_labels
from kits.sheets.html import to_html
from kits.supplies.class_needs import KitNeeds, class_needs
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.text import msg
from projects.said import say
from tests.checks.reading_grade import reading_grade
from tests.kits.sheets_by_hand import CLEAN, HEADING, RUNS, STOPPED, lantern, plan_by_hand, with_controller


@given(st.floats(min_value=0.1, max_value=1e5))
def test_thread_is_never_cut_short_and_never_a_step_too_long(length_mm: float) -> None:
    centimetres = int(cut_length(length_mm).removesuffix(" cm"))
    assert length_mm - 1e-5 <= centimetres * 10 < length_mm + 10
    text = cut_length(length_mm, "inch").removesuffix(" in")
    quarters = {"¼": 0.25, "½": 0.5, "¾": 0.75}.get(text[-1], 0.0)
    inches = float(text.rstrip("¼½¾") or 0) + quarters
    assert length_mm - 1e-5 <= inches * MM_PER_INCH < length_mm + MM_PER_INCH / 4


@pytest.mark.parametrize(
    ("kind", "most", "name"),
    [
        ("ohms", 5.3, "200"),
        ("ohms", 199.9, "200"),
        ("ohms", 200, "2 k"),
        ("ohms", 15_000, "20 k"),
        ("ohms", 1e9, "2 M"),
        ("volts", 1.9, "2"),
        ("volts", 2.0, "20"),
    ],
)
def test_the_range_is_the_smallest_that_can_show_the_reading(kind: MeterKind, most: float, name: str) -> None:
    assert meter_range(kind, most)[1] == name


def reading(kind: str, low: float, high: float | None) -> Reading:
    return Reading("B1.p1", "L1.plus", kind, "cell out", None, low, high, "x", msg("x"))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "low", "high", "set_to", "shows"),
    [
        ("ohms", 2.1, 3.72, "200 Ω", "2.1 Ω to 3.7 Ω"),
        ("ohms", 20_000.0, None, "200 kΩ", "OL or 1"),
        ("ohms", 100.0, None, "2 kΩ", "at least 100 Ω"),
        ("ohms", 99.8, None, "2 kΩ", "at least 99 Ω"),
        ("volts", 2.7, 2.9, "20 V", "2.70 V to 2.90 V"),
        ("ohms", 3.0, 3.0, "200 Ω", "3.0 Ω"),
    ],
)
def test_what_the_meter_should_show(kind: str, low: float, high: float | None, set_to: str, shows: str) -> None:
    row = reading_row(reading(kind, low, high), lay_out(lantern()))
    assert (row.set_to, str(row.shows)) == (set_to, shows)
    assert (str(row.start), str(row.end), str(row.state)) == ("B1 (+, upper)", "L1 (+)", "battery out")


def test_readings_name_pins_by_what_is_printed_on_the_part() -> None:
    """The firefly's pin a4 bears a 4: on paper stands what a learner finds on the board."""
    in_volts = Reading("L1.plus", "L1.minus", "volts", "S1=on, M1.a4=high, R1=dark, used", None, 2, 3, "x", msg("x"))
    row = reading_row(in_volts, lay_out(examples()["firefly-jar"]))
    assert str(row.state) == "S1 on, M1 (4) on, R1 dark, old battery"


@pytest.mark.parametrize("name", sorted(examples()))
def test_no_text_on_a_step_sheet_names_a_terminal_by_its_inner_name(name: str) -> None:
    document = examples()[name]
    html = to_html(step_sheet(document, make_plan(document), check(document), heading=HEADING, say=say)).html
    assert [end for end in lay_out(document).terminals() if end in html] == []


def test_lines_are_named_after_their_thread() -> None:
    labels = line_labels(RUNS)
    assert labels == {"s3": "1a", "s1": "1b", "s2": "1c", "s4": "2", "s5": "3a", "s6": "3b"}
    text = msg("Sew along line {line} to {end}.", line="s1", end=msg("bend 2 of line {line}", line="s4"))
    assert str(with_labels(text, labels)) == "Sew along line 1b to bend 2 of line 2."
    text = msg("Lines {lines} join {one} to {other}.", lines="s1, s9, s6", one="L1 (+)", other="B1 (−)")
    assert str(with_labels(text, labels)) == "Lines 1b, s9, 3b join L1 (+) to B1 (−)."


def test_a_line_that_no_thread_sews_keeps_its_own_name_on_the_drawing() -> None:
    assert overlay(plan_by_hand(), (), ["s1", "s9"]).line_labels["s9"] == "s9"
    assert overlay(plan_by_hand(), (), ["s1", "s9"]).line_labels["s1"] == "1b"


def test_every_thread_has_a_flag_and_a_bar_where_it_is_sewn() -> None:
    document = lantern()
    plan, laid_out = make_plan(document), lay_out(document)
    marks = overlay(plan, ()).marks
    for number, run in enumerate(plan.runs, 1):
        mine = {mark.kind: mark.spot for mark in marks if mark.number == str(number)}
        assert mine == {"start": laid_out.spots[run.terminals[0]], "end": laid_out.spots[run.terminals[-1]]}


def test_the_step_sheet_says_what_the_plan_says() -> None:
    plan = plan_by_hand()
    sheet = step_sheet(lantern(), plan, CLEAN, heading=HEADING)
    assert [(row.number, row.cut, row.folded) for row in sheet.threads] == [
        (1, "70 cm", "35 cm"),
        (2, "51 cm", "26 cm"),
        (3, "60 cm", "30 cm"),
    ]
    assert [str(end) for end in sheet.threads[0].way] == [
        "B1 (+, lower)",
        "B1 (+, upper)",
        "meeting point j1",
        "L1 (+)",
    ]
    printed = sum(len(task.readings) + (task.step is not None) for stage in sheet.stages for task in stage.tasks)
    assert printed == sum(len(stage.steps) for stage in plan.stages) + 1  # the last reading has no step of its own
    assert sum(len(task.readings) for stage in sheet.stages for task in stage.tasks) == len(plan.readings)
    assert sheet.minutes == math.ceil(plan.minutes)


def test_readings_stand_where_their_steps_are() -> None:
    document = lantern()
    sheet = step_sheet(document, make_plan(document), CLEAN, heading=HEADING)
    test = next(stage for stage in sheet.stages if str(stage.title) == "Test it")
    assert test.tasks[0].readings  # measured before the battery goes in
    volts = [at for at, task in enumerate(test.tasks) if any(one.kind == "volts" for one in task.readings)]
    assert volts == [len(test.tasks) - 2]  # and in volts just before it comes out again
    numbers = [task.step.number for task in test.tasks if task.step]
    assert numbers == list(range(1, len(numbers) + 1))


def test_a_stop_is_listed_and_marked_by_the_same_number() -> None:
    sheet = step_sheet(lantern(), plan_by_hand(), STOPPED, heading=HEADING)
    assert [(stop.number, str(stop.text)) for stop in sheet.stops] == [(1, "plus and minus touch.")]
    marks = overlay(plan_by_hand(), STOPPED.findings[:1]).marks
    assert [mark.number for mark in marks if mark.kind == "stop"] == ["1"]


def with_piece(width: float, height: float) -> Document:
    document = lantern()
    piece = document.project.pieces[0].model_copy(
        update={"outline": ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))}
    )
    return document.model_copy(update={"project": document.project.model_copy(update={"pieces": (piece,)})})


@pytest.mark.parametrize(("width", "height", "true_scale"), [(160, 120, True), (185, 225, True), (400, 120, False)])
def test_drawings_are_true_to_size_if_they_fit_and_say_so(width: float, height: float, true_scale: bool) -> None:
    sheet = step_sheet(with_piece(width, height), plan_by_hand(), CLEAN, heading=HEADING)
    assert [str(picture.name) for picture in sheet.pictures] == ["Outside", "Inside"]
    for picture in sheet.pictures:
        assert picture.true_scale == true_scale
        assert picture.width_mm <= BOX_MM[0]
        assert picture.height_mm <= BOX_MM[1]
        assert ("true size" in str(picture.scale)) == true_scale
    if not true_scale:
        assert str(sheet.pictures[0].scale) == "drawn smaller: 1 cm here is 2.2 cm on the fabric (46 %)"


def test_a_controller_has_a_pin_table() -> None:
    rows = {row.label: row for row in pin_rows(lay_out(with_controller()))}
    assert str(rows["4"].use) == "output, on or off"
    assert [str(end) for end in rows["4"].joined_to] == ["L1 (+)"]
    assert str(rows["+"].use) == "power, +"
    assert "1" not in rows  # not used
    assert pin_rows(lay_out(lantern())) == ()


def test_the_materials_list_adds_up() -> None:
    plan, project = plan_by_hand(), lantern().project
    listed = materials_list(
        lantern(), plan, heading=HEADING, kits=12, needs=class_needs([KitNeeds(project, plan)] * 12)
    )
    assert [(item.refs, item.amount, item.price) for item in listed.parts] == [
        (("B1",), "1", "1.20"),
        (("L1",), "1", "0.30"),
        (("S1",), "1", "0.40"),
    ]
    assert listed.thread_in_all == "1.9 m"  # 70 + 51 + 60 cm as cut, up to the next 10 cm
    assert listed.price == "3.04"
    assert listed.for_class is not None
    assert listed.for_class.kits == 12
    assert [(row.need, row.spare, str(row.bought), row.packs, row.price) for row in listed.for_class.rows] == [
        ("12", "2", "pack of 10", 2, "24.00"),
        ("12", "2", "pack of 10", 2, "6.00"),
        ("12", "2", "pack of 10", 2, "8.00"),
        ("21.6 m", "2.6 m", "spool of 20 m", 2, "12.00"),
        ("12", "0", "sheet", 12, "7.20"),
        ("12", "0", "piece", 12, "6.00"),
    ]
    assert listed.for_class.price == "63.20"


def test_a_list_for_one_kit_says_nothing_of_a_class() -> None:
    assert materials_list(lantern(), plan_by_hand(), heading=HEADING).for_class is None


COLOUR = re.compile(r"#[0-9a-f]{6}\b")
STYLES = (Path(kits.sheets.__file__).parent.parent / "static" / "kits" / "sheets" / "sheet.css").read_text("utf-8")


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, the page's own formula)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_every_ink_reads_on_cloth_even_on_a_grey_copy() -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1 for text; contrast is of luminance alone, so a grey copy keeps it."""
    inks = set(re.findall(r"(?<![-\w])color: (#[0-9a-f]{6})", STYLES))
    assert inks == {"#2a211a", "#5b4b3d"}
    cloth = luminance("#f7efdf")
    for ink in inks:
        assert (cloth + 0.05) / (luminance(ink) + 0.05) >= 4.5


def sentences_of_the_step_sheet() -> list[str]:
    """Whole sentences that learners read: the cautions, and what the templates themselves say."""
    folder = Path(settings.BASE_DIR) / "templates" / "kits" / "sheets"
    names = ("banner", "threads", "meter", "stage", "pins")
    texts = [
        text for name in names for text in re.findall(r'translate "([^"]+)"', (folder / f"{name}.html").read_text())
    ]
    tests = [str(text) for uses in (*_USES.values(), *_SUPPLY.values()) for text in uses[1:]]
    return [text for text in texts if text.endswith((".", "?"))] + tests + [str(text) for text in FOR_LEARNERS]


def test_learners_can_read_it() -> None:
    texts = sentences_of_the_step_sheet()
    assert len(texts) > 20
    assert {text: reading_grade(text) for text in texts if reading_grade(text) > 6} == {}
    assert sum(map(reading_grade, texts)) / len(texts) < 4
