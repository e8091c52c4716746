"""The examples in docstrings hold: every `>>>` in our own modules is run."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import checks
import kits
import projects


def _modules() -> list[str]:
    found = []
    for app in (projects, checks, kits):
        for module in pkgutil.walk_packages(app.__path__, f"{app.__name__}."):
            if ".migrations" not in module.name:
                found.append(module.name)
    return found


@pytest.mark.parametrize("name", _modules())
def test_examples_in_docstrings(name: str) -> None:
    results = doctest.testmod(importlib.import_module(name))
    assert results.failed == 0


def test_there_are_examples() -> None:
    finder = doctest.DocTestFinder()
    examples = [one for name in _modules() for one in finder.find(importlib.import_module(name)) if one.examples]
    assert len(examples) > 20
