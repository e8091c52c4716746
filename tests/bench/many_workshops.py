"""Every page of a teacher on a site of 1,000 workshops against the same page on a site of theirs alone: PostgreSQL.

Run by itself with `python -m tests.bench many_workshops`; making the classes takes a few minutes.
"""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

from tests.bench.measure import Measure
from tests.postgresql import manage, run, server

__all__ = ["measure"]

SECONDS = 1800


def measure() -> list[Measure]:
    """The page that grows most in time, and the one that grows most in queries."""
    with server() as database, tempfile.TemporaryDirectory() as folder:
        manage(database, Path(folder), "migrate", "--verbosity", "0")
        manage(database, Path(folder), "collectstatic", "--noinput", "--verbosity", "0")
        found = json.loads(run(database, Path(folder), "-m", "tests.bench.site_pages", seconds=SECONDS))
    alone, among = found["alone"], found["among"]
    slower = {page: among[page][0] / seconds for page, (seconds, _queries) in alone.items()}
    more = {page: abs(among[page][1] - queries) for page, (_seconds, queries) in alone.items()}
    page = max(slower, key=lambda name: slower[name])
    return [
        Measure(f"slowest of {len(alone)} pages at 1,000 workshops, {page}", slower[page], 1.3, "×"),
        Measure("most queries more at 1,000 workshops", max(more.values()), 0, "queries"),
    ]
