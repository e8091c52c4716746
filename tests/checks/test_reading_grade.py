"""The formula against the two rows that are published with it; and all that learners read against the formula."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

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


ROOT = Path(__file__).parents[2]
MOST_GRADE = 6.0
FEWEST_WORDS = 5
"""The formula is for sentences: two or three words on a button have no grade."""

FOR_TEACHERS = ("criteria.py",)
LEARNER_VIEWS = ("layout_words", "reading_words", "findings", "my_kit", "sewing", "sewing_drawings", "sewn_otherwise")
LEARNER_TEMPLATES = (
    "my_*",
    "layout*",
    "join*",
    "sewing*",
    "sewn_*",
    "finding*",
    "submission_learner*",
    "learner_base*",
)


def patterns(source: str) -> Iterator[str]:
    """Texts marked for translation in Python source."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("msg", "_", "gettext", "gettext_lazy"):
            first = node.args[0] if node.args else None
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                yield first.value


def hard(texts: Iterator[str]) -> list[str]:
    """Those above the grade, each value in them a name such as `L1`."""
    named = (re.sub(r"\{\w+\}|%\(\w+\)s", "L1", text) for text in texts)
    long = (text for text in named if len(text.split()) >= FEWEST_WORDS)
    return sorted({text for text in long if reading_grade(text) > MOST_GRADE})


@pytest.mark.parametrize("folder", ["checks", "kits/plan"])
def test_every_message_of_the_checks_and_the_plan(folder: str) -> None:
    """Those that no case brings up too."""
    files = [path for path in (ROOT / folder).rglob("*.py") if path.name not in FOR_TEACHERS]
    texts = [text for path in files for text in patterns(path.read_text(encoding="utf-8"))]
    assert len(texts) > 50
    assert hard(iter(texts)) == []


@pytest.mark.parametrize("view", LEARNER_VIEWS)
def test_words_of_learners_views(view: str) -> None:
    assert hard(patterns((ROOT / "kits/views" / f"{view}.py").read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("name", LEARNER_TEMPLATES)
def test_words_of_learners_pages(name: str) -> None:
    files = list((ROOT / "templates/kits").glob(f"{name}.html"))
    assert files
    pages = (path.read_text(encoding="utf-8") for path in files)
    assert hard(text for page in pages for text in re.findall(r'{% translate "([^"]+)"', page)) == []
