"""The demo's three projects, each with its example layout."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from projects.circuit.document import Document
from projects.circuit.project_file import read

__all__ = ["PROJECTS", "examples"]

PROJECTS = ("lantern-patch", "firefly-jar", "hedgehog")
"""Names of the project files, the easiest first."""


@cache
def examples() -> Mapping[str, Document]:
    """The documents by the name of their file."""
    folder = Path(__file__).parent / "projects"
    return {name: read((folder / f"{name}.json").read_bytes()) for name in PROJECTS}
