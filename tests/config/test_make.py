"""The Makefile and the scripts that it calls, read without being run."""

import os
import subprocess

import pytest
from django.conf import settings


@pytest.mark.parametrize(
    ("target", "last"),
    [
        ("run", ".venv/bin/python manage.py serve"),
        ("class", ".venv/bin/python manage.py serve --network"),
        ("test", ".venv/bin/python -m pytest -n auto --maxprocesses 4"),
        ("bench", ".venv/bin/python -m tests.bench"),
        ("format", ".venv/bin/python -m ruff format ."),
        ("lint", ".venv/bin/python manage.py makemigrations --check --dry-run"),
    ],
)
def test_what_a_target_does_last(target: str, last: str) -> None:
    # Not as a part of the make that may be running these tests: that one would be told of in the answer.
    alone = {name: value for name, value in os.environ.items() if name not in ("MAKEFLAGS", "MFLAGS", "MAKELEVEL")}
    planned = subprocess.run(
        ["make", "--dry-run", target], cwd=settings.BASE_DIR, env=alone, check=True, capture_output=True, text=True
    ).stdout.splitlines()
    assert "set-up.sh" in planned[0]
    assert planned[-1] == last


@pytest.mark.parametrize("script", [".ci/run", "config/set-up.sh"])
def test_a_script_parses(script: str) -> None:
    subprocess.run(["bash", "-n", script], cwd=settings.BASE_DIR, check=True)
