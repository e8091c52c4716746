"""Every page of every sheet of the demo, on both papers: margins, words, tags, size, nothing over anything."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from pypdf.generic import DictionaryObject

from kits.sheets.content import Sheet, Units
from kits.sheets.html import HtmlSheet, to_html
from kits.sheets.render import Paper, pdf, pdf_of_html
from tests.kits.demo_sheets import demo_sheets
from tests.kits.pdf_boxes import boxes_of, overlapping
from tests.kits.pdf_reading import DPMM, ink, page_sizes_mm, page_words, pictures_of, reader

SIZES: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
NAMES = [name for name, _ in demo_sheets("cm")]
UNITS: dict[Paper, Units] = {"A4": "cm", "Letter": "inch"}
# Usual printers leave 1/4 in (6.35 mm) of the paper blank (design value: A4 and Letter share 197.3 × 254.0 mm).
EDGE_MM = 6.35


@cache
def sheets(units: Units) -> dict[str, Sheet]:
    return dict(demo_sheets(units))


@cache
def made(name: str, paper: Paper) -> bytes:
    return pdf([sheets(UNITS[paper])[name]], paper)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_no_ink_in_the_margins_and_no_empty_page(name: str, paper: Paper) -> None:
    content = made(name, paper)
    for size in page_sizes_mm(content):
        assert size == pytest.approx(SIZES[paper], abs=0.1)
    edge = round(EDGE_MM * DPMM)
    for page in pictures_of(content):
        printed = ink(page)
        assert printed.any(axis=1).sum() > 9 * DPMM, "an empty page"
        printed[edge:-edge, edge:-edge] = False
        assert not printed.any(), np.argwhere(printed)[:3] / DPMM


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_no_words_stand_on_words(name: str, paper: Paper) -> None:
    boxes = list(boxes_of(made(name, paper)))
    assert len(boxes) > 10
    assert [(one.page, one.words, other.words) for one, other in overlapping(boxes)] == []


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_words_stay_between_the_margins(name: str, paper: Paper) -> None:
    wide, high = SIZES[paper]
    for box in boxes_of(made(name, paper)):
        assert box.left >= 11.9, box
        assert box.right <= wide - 11.9, box
        assert box.bottom >= EDGE_MM, box
        assert box.top <= high - 10.9, box


@pytest.mark.parametrize("name", NAMES)
def test_pages_are_numbered_and_the_file_is_tagged_named_and_bookmarked(name: str) -> None:
    content = made(name, "A4")
    pages = page_words(content)
    for number, words in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in words
    document = reader(content)
    root = document.trailer["/Root"]
    assert isinstance(root, DictionaryObject)
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert "pdfuaid:part" in root["/Metadata"].get_object().get_data().decode()
    assert document.metadata is not None
    assert document.metadata.title
    assert document.outline


@pytest.mark.parametrize("name", [name for name in NAMES if "step sheet" in name or "planning" in name])
def test_inch_sheets_say_inches_and_nothing_in_centimetres(name: str) -> None:
    words = " ".join(page_words(made(name, "Letter")))
    kept = words.replace("100 mm", "").replace("20 mm coin cell", "")
    for unit in (" cm", " mm"):
        assert unit not in kept, kept[kept.index(unit) - 40 : kept.index(unit) + 10]
    assert " in " in words


def test_words_that_do_overlap_are_found() -> None:
    """The measure itself: two words at one place, and two in neighbouring lines."""
    style = "position: absolute; left: 30mm; margin: 0; font: 10pt/1.2 DejaVu Sans"
    html = (
        f"<html lang=en><title>x</title><p style='{style}; top: 20mm'>one two<p style='{style}; top: 21mm'>three four"
    )
    assert len(overlapping(list(boxes_of(pdf_of_html([HtmlSheet(html, {})], "A4"))))) == 1
    apart = html.replace("21mm", "25mm")
    assert overlapping(list(boxes_of(pdf_of_html([HtmlSheet(apart, {})], "A4")))) == []


@pytest.mark.parametrize(
    ("style", "stands_wrong"),
    [
        (".pair { position: relative; top: -20mm }", "over"),
        (".step { margin-left: -8mm }", "outside"),
        (".readings { position: relative; left: 8mm }", "outside"),
        ("img { position: relative; left: 40mm }", "outside"),
    ],
)
def test_a_box_moved_on_a_real_sheet_is_found(style: str, stands_wrong: str) -> None:
    """What the checks above rest on: they see each kind of box that moves, on a page that is sound without it."""
    html = to_html(sheets("cm")["lantern-patch: step sheet"])
    moved = replace(html, html=html.html.replace("</head>", f"<style>{style}</style></head>"))
    content = pdf_of_html([moved], "A4")
    boxes = list(boxes_of(content))
    edge = round(EDGE_MM * DPMM)
    inked = any(ink(page)[:, -edge:].any() or ink(page)[:, :edge].any() for page in pictures_of(content))
    outside = inked or any(box.left < 11.9 or box.right > SIZES["A4"][0] - 11.9 for box in boxes)
    assert {"over": bool(overlapping(boxes)), "outside": outside}[stands_wrong]


def test_every_picture_is_named_for_those_who_cannot_see_it() -> None:
    for name, sheet in sheets("cm").items():
        html = to_html(sheet).html
        assert html.count("<img") == html.count(' alt="'), name
        assert 'alt=""' not in html, name
