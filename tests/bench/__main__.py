"""`make bench`: runs every `measure()` of the modules in this folder and holds the figures to their budgets.

    python -m tests.bench            all of them
    python -m tests.bench check pdf  those whose module name contains one of the words

Exit code 1 if a figure is over its budget or a module fails, 0 else. Figures are ratios and counts where they can
be, since two runs on a busy machine differ by more than most changes do.
"""

import importlib
import os
import pkgutil
import sys
import traceback
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

import django
from django.test.runner import DiscoverRunner
from django.test.utils import setup_test_environment, teardown_test_environment

import tests.bench
from tests.bench.measure import Measure


def main(words: list[str]) -> int:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    django.setup()
    failed = False
    measures: list[Measure] = []
    with _empty_database():
        for name in _modules(words):
            print(f"measuring {name} …", file=sys.stderr, flush=True)
            try:
                measures += _measured_by(name)
            except Exception:
                traceback.print_exc()
                failed = True
    print(table(measures))
    return 1 if failed or not all(measure.kept for measure in measures) else 0


@contextmanager
def _empty_database() -> Iterator[None]:
    """A database with all tables and no rows, gone afterwards; mail and hosts as in tests."""
    setup_test_environment(debug=False)
    runner = DiscoverRunner(verbosity=0, interactive=False)
    before = runner.setup_databases()
    try:
        yield
    finally:
        runner.teardown_databases(before)
        teardown_test_environment()


def _modules(words: list[str]) -> list[str]:
    names = sorted(module.name for module in pkgutil.iter_modules(tests.bench.__path__))
    return [
        name
        for name in names
        if name not in ("__main__", "measure") and (not words or any(word in name for word in words))
    ]


def _measured_by(name: str) -> list[Measure]:
    module = importlib.import_module(f"tests.bench.{name}")
    if not hasattr(module, "measure"):
        return []  # a module that others measure with
    return [item if isinstance(item, Measure) else Measure(*item) for item in module.measure()]


def table(measures: Iterable[Measure]) -> str:
    """The measures as lines of text, with `pass` or `over` beside each."""
    rows = [
        (
            "pass" if measure.kept else "over",
            measure.what,
            f"{measure.value:.4g}",
            f"{'≥' if measure.at_least else '≤'} {measure.budget:.4g}",
            measure.unit,
        )
        for measure in measures
    ]
    heads = ("", "what", "value", "budget", "unit")
    widths = [max(len(row[column]) for row in [heads, *rows]) for column in range(len(heads))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in [heads, *rows]]
    return "\n".join(line.rstrip() for line in lines)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
