"""The generic catalogue: built-in part types, kept as data in `catalogue.json` beside this file.

`catalogue_sources.json` gives each value's source or mark. A holder with a switch of its own stays a
cell with two nodes: that switch does what taking the cell out does, and no thread depends on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from pydantic import TypeAdapter

from projects.circuit.part_types import PartType
from projects.circuit.project import Project

__all__ = ["catalogue", "part_types_of"]


@cache
def catalogue() -> Mapping[str, PartType]:
    """Built-in part types by `type`, in the order of the file."""
    text = (Path(__file__).parent / "catalogue.json").read_bytes()
    types = TypeAdapter(tuple[PartType, ...]).validate_json(text)
    return {part_type.type: part_type for part_type in types}


def part_types_of(project: Project) -> Mapping[str, PartType]:
    """Part type by part ref; the project's own types win over built-in ones of the same name."""
    own = {part_type.type: part_type for part_type in project.part_types}
    built_in = catalogue()
    return {part.ref: own.get(part.type) or built_in[part.type] for part in project.parts}
