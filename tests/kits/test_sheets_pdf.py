"""The sheets as PDF, read back: words, sizes in millimetres, fonts, nothing from outside, nothing over the edge."""

import re
import socket
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf.generic import DictionaryObject

from kits.plan.make import make_plan
from kits.sheets.content import Heading, Sheet, materials_list, step_sheet
from kits.sheets.html import HtmlSheet, to_html
from kits.sheets.render import Paper, pdf, pdf_of_html
from kits.supplies.class_needs import KitNeeds, class_needs
from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.project import Supply
from projects.said import say
from tests.kits.pdf_reading import DPMM, ink, longest_runs, page_sizes_mm, page_words, pictures_of, reader, words
from tests.kits.sheets_by_hand import CLEAN, HEADING, STOPPED, lantern, plan_by_hand, with_controller

PAPERS: list[tuple[Paper, tuple[float, float]]] = [("A4", (210, 297)), ("Letter", (215.9, 279.4))]
CLOTH = (248, 239, 221)  # the fill of the fabric in a drawing; nothing else on a sheet has it


def sheets_of(document: Document) -> list[Sheet]:
    plan = make_plan(document)
    heading = replace(HEADING, project=document.project.title)
    return [
        step_sheet(document, plan, CLEAN, heading=heading, say=say),
        materials_list(
            document, plan, heading=heading, kits=12, needs=class_needs([KitNeeds(document.project, plan)] * 12)
        ),
    ]


@pytest.fixture(scope="module")
def of_lantern() -> dict[Paper, bytes]:
    return {paper: pdf(sheets_of(lantern()), paper) for paper, _ in PAPERS}


@pytest.fixture(scope="module")
def of_controller() -> dict[Paper, bytes]:
    return {paper: pdf(sheets_of(with_controller()), paper) for paper, _ in PAPERS}


@pytest.mark.parametrize(("paper", "size"), PAPERS)
def test_pages_have_the_size_of_the_paper(of_lantern: dict[Paper, bytes], paper: Paper, size: tuple[int, int]) -> None:
    for found in page_sizes_mm(of_lantern[paper]):
        assert found == pytest.approx(size, abs=0.1)


def test_the_words_are_all_there(of_lantern: dict[Paper, bytes]) -> None:
    found = words(of_lantern["A4"])
    step, materials = sheets_of(lantern())
    assert not isinstance(step, type(materials))
    for thread in step.threads:
        assert f"{thread.cut} {thread.folded}" in found
    for stage in step.stages:
        assert str(stage.title) in found
        for task in stage.tasks:
            if task.step:
                assert str(task.step.text) in found
            for row in task.readings:
                assert f"{row.start} to {row.end} {row.set_to} {row.shows}" in found
    assert "Zero the leads first." in found
    assert "Get medical help at once." in found
    assert "risk assessment come first" in found
    assert "Mila + Tarek" in found
    assert "12 kits, with spares for what gets lost" in found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_page_says_which_it_is_of_how_many_and_whose(of_lantern: dict[Paper, bytes], paper: Paper) -> None:
    pages = page_words(of_lantern[paper])
    steps = len([page for page in pages if "step sheet" in page])
    assert steps == len(pages) - 1
    for number, page in enumerate(pages[:-1], 1):
        assert f"page {number} of {steps}" in page
        assert "Kit 7 · revision 3" in page
        assert "Lantern patch – step sheet" in page
    assert "page 1 of 1" in pages[-1]
    assert "Lantern patch – materials list" in pages[-1]


def test_the_lantern_takes_three_pages_and_a_list(of_lantern: dict[Paper, bytes]) -> None:
    assert len(page_words(of_lantern["A4"])) == 4


def fabric_mm(page: NDArray[np.uint8]) -> tuple[float, float]:
    """Width and height of the drawing of the fabric on a page, with the half of its outline that lies on the fabric."""
    cloth, printed = (page == CLOTH).all(axis=2), ink(page)
    rows, columns = np.flatnonzero(cloth.any(axis=1)), np.flatnonzero(cloth.any(axis=0))
    across = printed[(rows[0] + rows[-1]) // 2, :]
    down = printed[:, (columns[0] + columns[-1]) // 2]
    return (_with_edge(across, columns[0], columns[-1]), _with_edge(down, rows[0], rows[-1]))


def _with_edge(printed: NDArray[np.bool_], first: int, last: int) -> float:
    while printed[first - 1]:
        first -= 1
    while printed[last + 1]:
        last += 1
    return float(last - first + 1) / DPMM


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_drawings_and_ruler_are_true_to_the_millimetre(of_lantern: dict[Paper, bytes], paper: Paper) -> None:
    first, second, *_ = pictures_of(of_lantern[paper])
    for page in (first, second):  # outside, inside
        assert fabric_mm(page) == pytest.approx((160, 120), abs=0.3)
    runs = longest_runs((first < 90).all(axis=2))
    bar = runs[(runs > 99.5 * DPMM) & (runs < 100.5 * DPMM)]
    assert len(bar) >= 0.7 * DPMM, "the bar of 100 mm"


@pytest.mark.parametrize(("paper", "size"), PAPERS)
def test_nothing_is_printed_over_the_edge(
    of_lantern: dict[Paper, bytes], of_controller: dict[Paper, bytes], paper: Paper, size: tuple[float, float]
) -> None:
    for made in (of_lantern[paper], of_controller[paper]):
        for page in pictures_of(made):
            printed = ink(page)
            side, end = round(11.5 * DPMM), round(6.5 * DPMM)
            assert not printed[:, :side].any()
            assert not printed[:, -side:].any()
            assert not printed[:end].any()
            assert not printed[-end:].any()
            assert printed.any(axis=1).sum() > 9 * DPMM, "an empty page"


def test_fonts_are_embedded_and_only_two_families_are_used(of_lantern: dict[Paper, bytes]) -> None:
    names = set()
    for page in reader(of_lantern["A4"]).pages:
        for reference in page["/Resources"]["/Font"].values():
            font = reference.get_object()["/DescendantFonts"][0].get_object()
            descriptor = font["/FontDescriptor"].get_object()
            assert any(key.startswith("/FontFile") for key in descriptor)
            names.add(str(descriptor["/FontName"]))
    families = {re.sub(r"^/?[A-Z]+\+|[- ]?Bold|-", "", name).replace(" ", "") for name in names}
    assert families == {"DejaVuSans", "DejaVuSerif"}


def test_the_file_has_title_language_bookmarks_and_tags(of_lantern: dict[Paper, bytes]) -> None:
    document = reader(of_lantern["A4"])
    root = document.trailer["/Root"]
    assert isinstance(root, DictionaryObject)
    assert document.metadata is not None
    assert document.metadata.title == "Lantern patch – Step sheet – kit 7"
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    titles = [entry.title for part in document.outline for entry in (part if isinstance(part, list) else [part])]
    assert titles.count("Kit 7 – Lantern patch") == 2
    assert {"Outside", "Inside", "Threads to cut", "1 Mark your plan", "In this kit", "For the class"} <= set(titles)


def test_a_controller_gets_its_pin_table(of_controller: dict[Paper, bytes]) -> None:
    found = words(of_controller["A4"])
    assert "The board’s metal holes" in found
    assert "M1 4 output, on or off L1 (+)" in found


def test_a_layout_with_a_stop_has_a_banner_and_the_example_says_so() -> None:
    heading = Heading("Lantern patch")
    made = pdf([step_sheet(lantern(), plan_by_hand(), STOPPED, heading=heading, example=True, left_handed=True)])
    first = page_words(made)[0]
    assert "Stop: do not sew this yet" in first
    assert "1 plus and minus touch. Move one line away from the other." in first
    assert "This is the example, not your own plan." in first
    assert "You sew with your left hand." in first
    assert "Kit ______ · from a file" in first


def test_a_rule_that_crashed_is_said() -> None:
    report = replace(CLEAN, crashed=("short",))
    made = pdf([step_sheet(lantern(), plan_by_hand(), report, heading=HEADING)])
    assert "This plan has not been checked in full." in words(made)


HOSTILE = "<b>\"&'</b>"


def hostile() -> Document:
    document = lantern()
    types = tuple(
        part_type.model_copy(
            update={"terminals": tuple(one.model_copy(update={"label": HOSTILE}) for one in part_type.terminals)}
        )
        for part_type in part_types_of(document.project).values()
    )
    update = {
        "title": "<script>alert(1)</script> & co",
        "part_types": types,
        "supplies": (Supply(name='<img src="http://example.org/x.png">{0}', unit="<u>m</u>"),),
    }
    return document.model_copy(update={"project": document.project.model_copy(update=update)})


def test_text_of_people_is_escaped() -> None:
    document = hostile()
    sheets = sheets_of(document)
    for sheet in sheets:
        html = to_html(sheet).html
        assert "<script" not in html
        assert "<b>&quot;" not in html
        assert html.count("<img") == (8 if "drawing-1" in html else 0)  # two drawings, five movements, the ruler
    found = words(pdf(sheets))
    assert "<script>alert(1)</script> & co" in found
    assert f"({HOSTILE}" in found
    assert '<img src="http://example.org/x.png">{0}' in found


@pytest.mark.parametrize(
    "html",
    [
        '<img src="http://example.org/a.png">',
        '<img src="file:///etc/hostname">',
        '<img src="data:image/png;base64,AAAA">',
        '<p style="background: url(https://example.org/a.png)">x</p>',
        '<link rel="stylesheet" href="/static/a.css">',
    ],
)
def test_nothing_from_outside_is_fetched(html: str) -> None:
    with pytest.raises(ValueError, match="not its own"):
        pdf_of_html([HtmlSheet(html, {})], "A4")


def test_a_drawing_cannot_fetch_either() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10">'
        '<image href="http://example.org/a.png" width="10" height="10"/></svg>'
    )
    with pytest.raises(ValueError, match="not its own"):
        pdf_of_html([HtmlSheet('<img src="sheet:a">', {"sheet:a": svg})], "A4")


def test_rendering_opens_no_connection(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*args: object, **options: object) -> None:
        raise AssertionError("a connection was opened")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    assert pdf(sheets_of(lantern())).startswith(b"%PDF-")


def test_no_sheets_is_said() -> None:
    with pytest.raises(ValueError, match="no sheet"):
        pdf([])


def test_a_sum_stands_once_however_many_pages_its_table_takes() -> None:
    many = lantern().project.model_copy(update={"supplies": [Supply(name=f"thing {n}", price=1.0) for n in range(60)]})
    document = lantern().model_copy(update={"project": many})
    plan = make_plan(document)
    needs = class_needs([KitNeeds(document.project, plan)] * 12)
    pages = page_words(pdf([materials_list(document, plan, heading=HEADING, kits=12, needs=needs)], "A4"))
    assert len(pages) > 2
    for total in ("One kit in all", "The class in all"):
        assert sum(page.count(total) for page in pages) == 1, total
    assert "The class in all" in pages[-1]
