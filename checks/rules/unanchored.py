"""A part should be held at all the metal holes that you use, and at two or more.

Why: a part held at one place swings and tears its thread.

Wrong: only one + hole of the battery holder is sewn. The other one hangs free.

Right: both + holes are sewn, with a line that joins them round the holder.

How to mend: sew a line to the hole that is free.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.part_types import Link, Pad
from projects.circuit.text import msg

ID = "unanchored"
LEVEL: Level = "look"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a part. What is not joined at all yet is `open`, and is not said twice."""
    unfinished = {connection.connection for connection in facts.comparison.opens}
    for part in facts.project.parts:
        part_type = facts.laid_out.types[part.ref]
        if isinstance(part_type.model, Link | Pad) or len(part_type.terminals) < 2:
            continue
        free = _free(facts, part.ref)
        if not free and _held(facts, part.ref) < 2 and not _waits(facts, part.ref, unfinished):
            free = tuple(t for t in _placed(facts, part.ref) if t not in facts.sewn.threads_at)
        if free:
            names = facts.labels(free)
            text = msg("No thread holds {part} at {holes}.", part=part.ref, holes=names)
            fix = msg("Sew {holes} on too.", holes=names)
            at = tuple(facts.laid_out.spots[terminal] for terminal in free)
            yield Finding(ID, LEVEL, text, fix, at=at, parts=(part.ref,), terminals=free)


def _placed(facts: Facts, ref: str) -> list[str]:
    names = (f"{ref}.{terminal.name}" for terminal in facts.laid_out.types[ref].terminals)
    return [name for name in names if name in facts.laid_out.spots]


def _held(facts: Facts, ref: str) -> int:
    return sum(terminal in facts.sewn.threads_at for terminal in _placed(facts, ref))


def _waits(facts: Facts, ref: str, unfinished: set[str]) -> bool:
    """Whether a connection of this part is still open, or some terminal of it or of the part has no place yet."""
    terminals = [f"{ref}.{terminal.name}" for terminal in facts.laid_out.types[ref].terminals]
    own = [one for one in facts.project.connections if any(terminal in one.terminals for terminal in terminals)]
    needed = [*terminals, *(terminal for one in own for terminal in one.terminals)]
    return any(one.name in unfinished for one in own) or any(t not in facts.laid_out.spots for t in needed)


def _free(facts: Facts, ref: str) -> tuple[str, ...]:
    """Terminals of connections without thread, whose mates inside the part have thread."""
    free: list[str] = []
    for names in facts.laid_out.types[ref].groups():
        terminals = [f"{ref}.{name}" for name in names if f"{ref}.{name}" in facts.laid_out.spots]
        if any(terminal in facts.sewn.threads_at for terminal in terminals):
            free += [
                terminal
                for terminal in terminals
                if terminal not in facts.sewn.threads_at and facts.project.connection_of(terminal)
            ]
    return tuple(free)
