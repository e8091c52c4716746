"""The placement template, measured from the PDF itself to a tenth of a millimetre."""

from collections.abc import Iterator
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray

from kits.demo.examples import examples
from kits.plan.make import make_plan
from kits.sheets.content import Heading, PlacementTemplate, placement_template, planning_sheet
from kits.sheets.content.tiles import MARGIN_MM, OVERLAP_MM, TILE_MM, tiles
from kits.sheets.render import Paper, pdf
from projects.circuit.document import Document
from tests.kits.pdf_reading import page_words
from tests.kits.sheets_by_hand import CLEAN, lantern

FINE = 40
"""Pixels a millimetre: what is measured to 0.1 mm is four pixels."""

PAPERS: list[Paper] = ["A4", "Letter"]
COMMON_MM = (197.3, 254.0)  # what A4 and Letter share inside usual printer margins


def template(document: Document, *, mirrored: bool = False) -> PlacementTemplate:
    heading = Heading(document.project.title, "7", "3", ("Mila",))
    return placement_template(document, make_plan(document), CLEAN, heading=heading, mirrored=mirrored)


def fine_pages(content: bytes) -> Iterator[NDArray[np.bool_]]:
    """Each page, dark or not, FINE pixels a millimetre."""
    document = pypdfium2.PdfDocument(content)
    try:
        for page in document:
            yield page.render(scale=FINE * 25.4 / 72, grayscale=True).to_numpy().squeeze() < 128
    finally:
        document.close()


def bars_mm(dark: NDArray[np.bool_]) -> list[float]:
    """Lengths of the unbroken dark stretches of the row that has the longest one, at least 50 mm."""
    found: list[float] = []
    for row in dark[:: FINE // 4]:
        edges = np.flatnonzero(np.diff(np.concatenate(([False], row, [False])).astype(np.int8)))
        lengths = (edges[1::2] - edges[::2]) / FINE
        found += [float(length) for length in lengths if length > 50]
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("mirrored", [False, True])
def test_bar_and_fabric_are_true_to_a_tenth_of_a_millimetre(paper: Paper, mirrored: bool) -> None:
    dark = next(fine_pages(pdf([template(lantern(), mirrored=mirrored)], paper)))
    bar = [length for length in bars_mm(dark) if 99 < length < 101]
    assert len(bar) >= 5  # 1.6 mm thick
    assert bar == pytest.approx([100.0] * len(bar), abs=0.1)
    # The piece is 160 × 120 mm; its outline is a stroke of 0.7 mm, half of it outside.
    # The longest stretch counts: its corners are round.
    assert max(bars_mm(dark)) == pytest.approx(160.7, abs=0.1)
    assert max(bars_mm(dark.T)) == pytest.approx(120.7, abs=0.1)


def diamonds_mm(svg: str) -> list[tuple[float, float]]:
    """Where the overlap marks stand on the fabric."""
    marks = (element.get("data-overlap", "line") for element in ElementTree.fromstring(svg).iter())
    return [(float(x), float(y)) for x, y in (mark.split(",") for mark in marks if mark != "line")]


def test_tiles_overlap_and_carry_the_same_marks() -> None:
    (piece,) = template(examples()["firefly-jar"]).pieces
    left, right = piece.tiles
    assert (piece.rows, piece.columns) == (1, 2)
    assert diamonds_mm(left.svg) == diamonds_mm(right.svg) != []
    boxes = [[float(v) for v in ElementTree.fromstring(tile.svg).attrib["viewBox"].split()] for tile in piece.tiles]
    assert boxes[0][0] + boxes[0][2] - boxes[1][0] == pytest.approx(OVERLAP_MM, abs=1e-3)
    # Together they show the whole piece.
    outline = examples()["firefly-jar"].project.pieces[0].outline
    width = max(x for x, _ in outline) - min(x for x, _ in outline)
    assert boxes[1][0] + boxes[1][2] - boxes[0][0] == pytest.approx(width + 2 * MARGIN_MM, abs=1e-3)


def seam_mm(dark: NDArray[np.bool_], columns: slice) -> float:
    """Where the broken line of an overlap runs, mm from the left: of these columns those with the most ink."""
    share = dark.sum(axis=0)[columns]
    return (float(np.flatnonzero(share == share.max()).mean()) + 0.5 + (columns.start or 0)) / FINE


@pytest.mark.parametrize("paper", PAPERS)
def test_two_pages_laid_on_their_marks_give_the_true_width(paper: Paper) -> None:
    """Cut along the broken line and laid side by side, both pages make the width of the piece."""
    (piece,) = template(examples()["firefly-jar"]).pieces
    first, second = list(fine_pages(pdf([template(examples()["firefly-jar"])], paper)))
    width = max(x for x, _ in examples()["firefly-jar"].project.pieces[0].outline)
    first, second = (page[round(60 * FINE) : -round(60 * FINE)] for page in (first, second))
    inked = [np.flatnonzero(page.any(axis=0)) for page in (first, second)]
    overlap = round(OVERLAP_MM * FINE)
    left = seam_mm(first, slice(inked[0][-1] - overlap, inked[0][-1])) - inked[0][0] / FINE
    right = (inked[1][-1] + 1) / FINE - seam_mm(second, slice(inked[1][0], inked[1][0] + overlap))
    assert left + right == pytest.approx(width + 0.7, abs=0.1)
    assert piece.tiles[0].width_mm <= TILE_MM[0]


def test_a_piece_larger_than_the_page_in_both_ways_takes_four_pages() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-5 10 300 260" width="300mm" height="260mm"/>'
    found = tiles(svg)
    assert [(tile.row, tile.column) for tile in found] == [(1, 1), (1, 2), (2, 1), (2, 2)]
    assert all(tile.width_mm <= TILE_MM[0] and tile.height_mm <= TILE_MM[1] for tile in found)
    assert [len(diamonds_mm(tile.svg)) for tile in found] == [4, 4, 4, 4]


def test_heading_tile_and_bar_fit_what_both_papers_can_print() -> None:
    assert TILE_MM[0] < COMMON_MM[0]
    assert TILE_MM[1] + 45 < COMMON_MM[1]


def test_mirrored_is_the_inside_and_says_so() -> None:
    plain, mirrored = template(examples()["hedgehog"]), template(examples()["hedgehog"], mirrored=True)
    assert 'data-side="outside"' in plain.pieces[0].tiles[0].svg
    assert 'data-side="inside"' in mirrored.pieces[0].tiles[0].svg
    words = page_words(pdf([mirrored]))
    assert "mirrored: mark it on the inside" in words[0]
    assert all("template, mirrored" in page for page in words)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_planning_grid_is_five_millimetres(paper: Paper) -> None:
    document = lantern()
    sheet = planning_sheet(document, make_plan(document), CLEAN, heading=Heading("Lantern patch"), example=True)
    pages = list(fine_pages_pale(pdf([sheet], paper)))
    row = pages[-1][pages[-1].shape[0] // 3]
    lines = np.flatnonzero(np.diff(row.astype(np.int8)) == 1) / FINE
    gaps = np.diff(lines)[1:-1]  # the outermost lines lie in the outline
    grid = gaps[(gaps > 4.5) & (gaps < 5.5)]
    assert len(grid) > 20
    assert grid == pytest.approx([5.0] * len(grid), abs=0.1)


def fine_pages_pale(content: bytes) -> Iterator[NDArray[np.bool_]]:
    """As `fine_pages`, with the pale lines of the grid."""
    document = pypdfium2.PdfDocument(content)
    try:
        for page in document:
            yield page.render(scale=FINE * 25.4 / 72, grayscale=True).to_numpy().squeeze() < 240
    finally:
        document.close()


def test_cut_outs_are_as_large_as_the_parts() -> None:
    document = lantern()
    sheet = planning_sheet(document, make_plan(document), CLEAN, heading=Heading("Lantern patch"))
    holder = next(cut_out for cut_out in sheet.cut_outs if cut_out.ref == "B1")
    # 26 mm across the body, terminals at ±13 mm with a radius of 2 mm, 1 mm of margin on each side.
    assert (holder.width_mm, holder.height_mm) == pytest.approx((32.0, 28.0))
