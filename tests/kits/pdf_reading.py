"""Reading a PDF back: its words, its page sizes in mm, its fonts, and its pages as pictures."""

import io
import re
from collections.abc import Iterator

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from pypdf import PdfReader

__all__ = ["DPMM", "ink", "longest_runs", "page_sizes_mm", "page_words", "pictures_of", "reader", "words"]

DPMM = 10
"""Pixels a millimetre in `pictures_of`."""


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def page_words(pdf: bytes) -> list[str]:
    """The text of each page, with single spaces."""
    return [re.sub(r"\s+", " ", page.extract_text()) for page in reader(pdf).pages]


def words(pdf: bytes) -> str:
    """All text; a PDF may break a line anywhere, so spaces are single ones."""
    return " ".join(page_words(pdf))


def page_sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    return [
        (float(page.mediabox.width) * 25.4 / 72, float(page.mediabox.height) * 25.4 / 72) for page in reader(pdf).pages
    ]


def pictures_of(pdf: bytes) -> Iterator[NDArray[np.uint8]]:
    """Each page as height × width × 3 colours, `DPMM` pixels a millimetre."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            yield page.render(scale=DPMM * 25.4 / 72, rev_byteorder=True).to_numpy()[:, :, :3].copy()
    finally:
        document.close()


def ink(picture: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Where something is printed, however pale."""
    return (picture < 250).any(axis=2)


def longest_runs(dark: NDArray[np.bool_]) -> NDArray[np.int_]:
    """Length of the longest unbroken dark stretch in each row, pixels."""
    longest = np.zeros(dark.shape[0], dtype=int)
    run = np.zeros(dark.shape[0], dtype=int)
    for column in dark.T:
        run = np.where(column, run + 1, 0)
        longest = np.maximum(longest, run)
    return longest
