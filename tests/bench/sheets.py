"""How long a step sheet and a class pack take beside plain WeasyPrint on the same HTML.

The peer is what anyone would write: `HTML(string=…).write_pdf(…)` with the same stylesheet, paper, tags and pictures,
the pictures served from memory as well, so that only our own way of calling it differs.
"""

import gc
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from weasyprint import CSS, HTML

from checks.engine import check
from kits.plan.make import make_plan
from kits.sheets.content import Heading, StepSheet, step_sheet
from kits.sheets.html import HtmlSheet, to_html
from kits.sheets.pack import make_pack
from kits.sheets.render import STYLESHEET, SheetFetcher, pdf_of_html
from projects.said import say
from tests.kits.pdf_reading import page_words
from tests.kits.sheets_by_hand import lantern

__all__ = ["measure"]

Row = tuple[str, float, float, str]


LEARNERS = 30
IN_A_BATCH = 4  # as in kits/services/print_pack.py


def measure() -> list[Row]:
    """One step sheet, a pack of 30, and how a pack grows with its learners."""
    return [*_one_sheet(), *_packs()]


def _packs() -> list[Row]:
    """A pack of 30 step sheets against 30 plain calls; and against a pack of half as many.

    Wall time, since a pack is laid out by two processes: the best of three, as other work can only add to it.
    """
    sheets = [to_html(_for_learner(number)) for number in range(1, LEARNERS + 1)]
    whole, half, plain = [], [], []
    for _ in range(3):
        whole.append(_wall(lambda: _pack(sheets)))
        plain.append(_wall(lambda: [_plain(sheet) for sheet in sheets]))
        half.append(_wall(lambda: _pack(sheets[: LEARNERS // 2])))
    against_plain, against_half = min(whole) / min(plain), min(whole) / min(half)
    return [
        (f"class pack of {LEARNERS} step sheets, against {LEARNERS} plain WeasyPrint calls", against_plain, 0.5, "×"),
        (f"class pack: {LEARNERS} learners against {LEARNERS // 2} (exponent 1.2)", against_half, 2**1.2, "×"),
    ]


def _pack(sheets: list[HtmlSheet]) -> None:
    batches = [sheets[at : at + IN_A_BATCH] for at in range(0, len(sheets), IN_A_BATCH)]
    with tempfile.TemporaryDirectory() as folder:
        make_pack(batches, "A4", Path(folder) / "pack.pdf", lambda done: True)


def _wall(work: Callable[[], object]) -> float:
    gc.collect()
    start = perf_counter()
    work()
    return perf_counter() - start


def _for_learner(number: int) -> StepSheet:
    document = lantern()
    plan = make_plan(document)
    heading = Heading("Lantern patch", str(number), "1", (f"Learner {number}",), "Friday club")
    return step_sheet(document, plan, check(document), heading=heading, say=say)


def _one_sheet() -> list[Row]:
    """One step sheet of two pages against its peer: median of pairs, each half first in turn.

    Before each run the collector is emptied: a full collection takes longer than what is measured, and would fall
    on one of the two by chance. Processor time, since neither waits for anything and other work disturbs it less.
    """
    sheet = to_html(_two_pages())
    pages = len(page_words(pdf_of_html([sheet], "A4")))
    ratios = []
    for turn in range(10):
        if turn % 2:
            plain, ours = _seconds(lambda: _plain(sheet)), _seconds(lambda: pdf_of_html([sheet], "A4"))
        else:
            ours, plain = _seconds(lambda: pdf_of_html([sheet], "A4")), _seconds(lambda: _plain(sheet))
        ratios.append(ours / plain)
    return [
        ("step sheet: our rendering, against plain WeasyPrint on the same HTML", median(ratios), 1.15, "×"),
        ("step sheet: pages of the one measured", float(pages), 2.0, "pages"),
    ]


def _seconds(work: Callable[[], object]) -> float:
    gc.collect()
    start = process_time()
    work()
    return process_time() - start


def _plain(sheet: HtmlSheet) -> bytes:
    html = HTML(string=sheet.html, base_url="sheet:", url_fetcher=SheetFetcher(sheet.pictures))
    paper = CSS(string="@page { size: A4 }")
    made: bytes = html.write_pdf(stylesheets=[CSS(filename=str(STYLESHEET)), paper], pdf_tags=True)
    return made


def _two_pages() -> StepSheet:
    """The step sheet of the fixture with two of its stages, marking and the first thread: two pages."""
    document = lantern()
    plan = make_plan(document)
    first = replace(plan, runs=plan.runs[:1], stages=(plan.stages[0], plan.stages[2]))
    return step_sheet(document, first, check(document), heading=Heading("Lantern patch", "1"), say=say)
