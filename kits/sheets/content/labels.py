"""Kit labels on a sheet of sticky labels: whose kit, its code, and the code as QR."""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import segno

from kits.sheets.content.values import Heading, Sheet

__all__ = ["GRIDS", "KitLabel", "LabelGrid", "LabelPage", "LabelSheet", "PlacedLabel", "label_sheet", "qr_svg"]

QUIET_ZONE = 4
"""Modules of empty space round a QR code (ISO/IEC 18004)."""

_PAD_MM = 1.8
_TEXT_MM = 28.0  # least width for the words beside the QR code
_CODE_EMS = 10.8  # width of a code of 14 signs in bold, in ems, the widest letters counted


@dataclass(frozen=True)
class LabelGrid:
    """A sheet of labels by its sizes, mm: `left_mm` and `top_mm` to the first label, gaps between labels."""

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0

    @property
    def count(self) -> int:
        return self.columns * self.rows

    @property
    def size_mm(self) -> tuple[float, float]:
        """What the labels take up of the paper, margins at left and top included."""
        return (
            self.left_mm + self.columns * self.width_mm + (self.columns - 1) * self.gap_x_mm,
            self.top_mm + self.rows * self.height_mm + (self.rows - 1) * self.gap_y_mm,
        )

    def at(self, position: int) -> tuple[float, float]:
        """Left and top of a label, mm; positions count from 1, row by row."""
        row, column = divmod(position - 1, self.columns)
        return (
            self.left_mm + column * (self.width_mm + self.gap_x_mm),
            self.top_mm + row * (self.height_mm + self.gap_y_mm),
        )


GRIDS: Mapping[str, tuple[str, LabelGrid]] = {
    "21": ("A4", LabelGrid(3, 7, 63.5, 38.1, 7.25, 15.15, 2.5, 0.0)),
    "14": ("A4", LabelGrid(2, 7, 99.1, 38.1, 4.65, 15.15, 2.5, 0.0)),
    "24": ("A4", LabelGrid(3, 8, 70.0, 36.0, 0.0, 4.5)),
    "letter-30": ("Letter", LabelGrid(3, 10, 66.675, 25.4, 4.7625, 12.7, 3.175, 0.0)),
    "letter-10": ("Letter", LabelGrid(2, 5, 101.6, 50.8, 4.7625, 12.7, 3.175, 0.0)),
}
"""Common sheets of labels, by a name of ours: paper and sizes (from memory; measure yours, each size can be set)."""


@dataclass(frozen=True)
class KitLabel:
    """What one label says: the kit's number, who makes it, its project, its code in groups, the code's QR as SVG."""

    number: str
    names: str
    project: str
    code: str
    qr: str


@dataclass(frozen=True)
class PlacedLabel:
    """A label at its place on the page, mm, and the name of its QR picture."""

    label: KitLabel
    left_mm: float
    top_mm: float
    image: str


@dataclass(frozen=True)
class LabelPage:
    """The labels of one page."""

    labels: tuple[PlacedLabel, ...]


@dataclass(frozen=True)
class LabelSheet(Sheet):
    """Pages of labels; `qr_mm` is the size of the QR with its quiet zone, `code_pt` the size of the code's letters."""

    grid: LabelGrid
    pages: tuple[LabelPage, ...]
    qr_mm: float
    text_mm: float
    code_pt: float

    @property
    def pad_mm(self) -> float:
        return _PAD_MM

    @property
    def label_left_mm(self) -> float:
        """Where the words begin, mm from the left of the label."""
        return self.qr_mm + 1.5 * _PAD_MM

    def images(self) -> Mapping[str, str]:
        return {placed.image: placed.label.qr for page in self.pages for placed in page.labels}


def label_sheet(heading: Heading, labels: Sequence[KitLabel], grid: LabelGrid, start: int = 1) -> LabelSheet:
    """The labels on their sheets, the first at position `start` of the first sheet, which may be part-used."""
    places = range(start - 1, start - 1 + len(labels))
    pages: list[list[PlacedLabel]] = [[] for _ in range(math.ceil((start - 1 + len(labels)) / grid.count))]
    for place, label in zip(places, labels, strict=True):
        left, top = grid.at(place % grid.count + 1)
        pages[place // grid.count].append(PlacedLabel(label, left, top, f"qr-{place}"))
    qr = max(8.0, min(grid.height_mm - 2 * _PAD_MM, grid.width_mm - _TEXT_MM - 2 * _PAD_MM))
    text = max(8.0, grid.width_mm - qr - 2.5 * _PAD_MM)
    return LabelSheet(
        heading=heading,
        grid=grid,
        pages=tuple(LabelPage(tuple(page)) for page in pages if page),
        qr_mm=qr,
        text_mm=text,
        code_pt=min(10.0, text / _CODE_EMS / 25.4 * 72),
    )


def qr_svg(address: str) -> str:
    """The address as a QR code: one path, error correction M, with its quiet zone; SVG with a viewBox in modules."""
    out = io.BytesIO()
    code = segno.make(address, error="m", micro=False)
    code.save(out, kind="svg", border=QUIET_ZONE, xmldecl=False, svgclass=None, lineclass=None, omitsize=True)
    return out.getvalue().decode()
