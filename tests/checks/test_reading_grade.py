"""The formula against the two rows that are published with it."""

import pytest

from tests.checks.reading_grade import reading_grade, syllables


def test_short_words_in_one_sentence() -> None:
    assert reading_grade("The cat sat on the mat.") == pytest.approx(-1.45, abs=0.005)


def test_thirteen_words_of_two_syllables() -> None:
    assert reading_grade(" ".join(["metal"] * 13) + ".") == pytest.approx(13.08, abs=0.005)


@pytest.mark.parametrize(
    ("word", "count"),
    [("line", 1), ("metal", 2), ("battery", 3), ("joined", 1), ("connected", 3), ("L1.plus", 1), ("places", 2),
     ("hole", 1), ("away", 2), ("little", 2), ("fabric", 2), ("together", 3)],
)  # fmt: skip
def test_syllables(word: str, count: int) -> None:
    assert syllables(word) == count
