"""Sheets as PDF. The only file that knows WeasyPrint.

Each sheet is laid out by itself, so that it says "page x of y" of its own pages; then all pages are written as
one document, with title, language, bookmarks and tags.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Literal

from weasyprint import CSS, HTML, Document
from weasyprint.urls import URLFetcher, URLFetcherResponse

from kits.sheets.content import Sheet
from kits.sheets.html import SCHEME, HtmlSheet, to_html

__all__ = ["STYLESHEET", "Paper", "SheetFetcher", "pdf", "pdf_of_html"]

Paper = Literal["A4", "Letter"]
"""A4 is 210 × 297 mm (ISO 216), Letter 215.9 × 279.4 mm."""

STYLESHEET = Path(__file__).parent.parent / "static" / "kits" / "sheets" / "sheet.css"


class SheetFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint has no types
    """Serves the sheet's own pictures from memory and refuses every other address, whatever asks for it.

    WeasyPrint goes on without a picture that it did not get; so `refused` keeps what was asked for in vain.
    """

    def __init__(self, pictures: Mapping[str, str]) -> None:
        super().__init__(allowed_protocols=(), allow_redirects=False)
        self._pictures = pictures
        self.refused: list[str] = []

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        """The picture of that address. Raises ValueError for any other."""
        if url not in self._pictures:
            self.refused.append(url)
            raise ValueError(f"A sheet shows only pictures of its own, not {url[:80]}.")
        return URLFetcherResponse(url, self._pictures[url], {"Content-Type": "image/svg+xml"})


@cache
def _styles(paper: Paper) -> list[CSS]:
    """The stylesheet and the paper size, parsed once a process."""
    refuse = SheetFetcher({})
    return [
        CSS(string=STYLESHEET.read_text(encoding="utf-8"), url_fetcher=refuse),
        CSS(string=f"@page {{ size: {paper} }}", url_fetcher=refuse),
    ]


def pdf(sheets: Sequence[Sheet], paper: Paper = "A4") -> bytes:
    """The sheets one after another as one PDF in the current language; the first one names it.

    Raises ValueError for no sheets.
    """
    return pdf_of_html([to_html(sheet) for sheet in sheets], paper)


def pdf_of_html(sheets: Sequence[HtmlSheet], paper: Paper) -> bytes:
    """The same from HTML. Raises ValueError for no sheets, and for one that asks for anything but its own pictures."""
    if not sheets:
        raise ValueError("There is no sheet to print.")
    fetchers = [SheetFetcher(sheet.pictures) for sheet in sheets]
    documents = [_laid_out(sheet, paper, fetcher) for sheet, fetcher in zip(sheets, fetchers, strict=True)]
    pages = [page for document in documents for page in document.pages]
    written: bytes = documents[0].copy(pages).write_pdf(pdf_variant="pdf/ua-1")
    # Asked only now: what a drawing refers to is fetched when it is drawn.
    refused = [url for fetcher in fetchers for url in fetcher.refused]
    if refused:
        raise ValueError(f"A sheet asked for what is not its own: {refused[0][:80]}")
    return written


def _laid_out(sheet: HtmlSheet, paper: Paper, fetcher: SheetFetcher) -> Document:
    html = HTML(string=sheet.html, base_url=SCHEME, url_fetcher=fetcher)
    return html.render(stylesheets=_styles(paper), pdf_tags=True)
