"""Where words stand on the pages of a PDF, mm from its left and bottom edges."""

from collections.abc import Iterator
from dataclasses import dataclass

import pypdfium2

__all__ = ["WordBox", "boxes_of", "overlapping"]

_MM = 25.4 / 72


@dataclass(frozen=True)
class WordBox:
    """A run of words in one line, as tight round their ink as the reader gives it."""

    page: int
    words: str
    left: float
    bottom: float
    right: float
    top: float


def boxes_of(pdf: bytes) -> Iterator[WordBox]:
    """Every run of words, those inside drawings too."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        for number, page in enumerate(document, 1):
            text = page.get_textpage()
            for index in range(text.count_rects()):
                rect = text.get_rect(index)
                words = text.get_text_bounded(*rect).strip()
                if words:
                    yield WordBox(number, words, *(side * _MM for side in rect))
    finally:
        document.close()


def overlapping(boxes: list[WordBox]) -> list[tuple[WordBox, WordBox]]:
    """Pairs on one page whose ink shares more than a hair's breadth: 0.15 mm across and 0.25 mm down."""
    return [
        (one, other)
        for at, one in enumerate(boxes)
        for other in boxes[:at]
        if one.page == other.page
        and min(one.right, other.right) - max(one.left, other.left) > 0.15
        and min(one.top, other.top) - max(one.bottom, other.bottom) > 0.25
    ]
