"""What `make bench` prints and how it ends."""

import subprocess
import sys

import pytest
from django.conf import settings

from tests.bench.__main__ import table
from tests.bench.measure import Measure, median_seconds


@pytest.mark.parametrize(
    ("value", "at_least", "kept"),
    [
        (10.0, False, True),
        (10.1, False, False),
        (9.9, True, False),
        (10.0, True, True),
        (float("nan"), False, False),
        (float("nan"), True, False),
    ],
)
def test_a_budget_is_a_ceiling_or_a_floor(value: float, at_least: bool, kept: bool) -> None:
    assert Measure("x", value, 10.0, "ms", at_least=at_least).kept is kept


def test_the_table_says_pass_or_over() -> None:
    lines = table([Measure("short", 1.0, 2.0, "ms"), Measure("longer", 3.0, 4.0, "×", at_least=True)]).splitlines()
    assert [line.split() for line in lines] == [
        ["what", "value", "budget", "unit"],
        ["pass", "short", "1", "≤", "2", "ms"],
        ["over", "longer", "3", "≥", "4", "×"],
    ]


def test_the_median_leaves_the_first_call_out() -> None:
    calls: list[int] = []
    assert median_seconds(lambda: calls.append(1), times=3) >= 0
    assert len(calls) == 4


def test_no_module_chosen_is_an_empty_table_and_a_good_end() -> None:
    ended = subprocess.run(
        [sys.executable, "-m", "tests.bench", "no-such-module"],
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert (ended.returncode, ended.stdout.split()) == (0, ["what", "value", "budget", "unit"])
