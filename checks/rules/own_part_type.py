"""This project has its own kind of part under a name that is built in too.

Why: the project's own kind counts, not the one built in. So sizes and values may not be what you think.

Wrong: you think that the light is the one built in.

Right: you know that it is the project's own.

How to mend: nothing is wrong. Give your own kind a new name if you want both.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.catalogue import catalogue
from projects.circuit.text import msg

ID = "own-part-type"
LEVEL: Level = "note"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a part type of the project that hides a built-in one."""
    for part_type in facts.project.part_types:
        if part_type.type in catalogue():
            parts = tuple(part.ref for part in facts.project.parts if part.type == part_type.type)
            text = msg("“{kind}” is the project's own kind of part here.", kind=part_type.type)
            fix = msg("It counts in place of the one built in. Nothing to do.")
            yield Finding(ID, LEVEL, text, fix, parts=parts)
