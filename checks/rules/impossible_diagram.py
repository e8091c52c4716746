"""Your list of what must be joined has to make sense before you sew.

Why: no plan can mend a list that joins + to −, or that leaves a part with nothing to do. Without a battery
nothing can work at all.

Wrong: a switch lies on the fabric, but your list joins nothing to it.

Right: each part is joined on both sides, and each metal hole is in your list once.

How to mend: put your list right. Your teacher can help you.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.part_types import Controller, Led, Load
from projects.circuit.text import Message, msg

ID = "impossible-diagram"
LEVEL: Level = "stop"

_FED = Led | Load | Controller
"""Models that do nothing without a cell."""


def check(facts: Facts) -> Iterator[Finding]:
    """No cell; the cell's two sides joined; terminals in two connections; parts with nothing to do; no solution."""
    yield from _no_cell(facts)
    yield from _cell_joined(facts)
    yield from _twice(facts)
    yield from _nothing_to_do(facts)
    if facts.working.unsolved:
        text = msg("There is no sure answer to what this circuit does.")
        fix = msg("Ask your teacher to look at it.")
        yield Finding(ID, LEVEL, text, fix, situations=facts.working.unsolved)


def _no_cell(facts: Facts) -> Iterator[Finding]:
    """One finding for all parts that can not work without a cell, where there is none."""
    fed = [one.ref for one in facts.project.parts if isinstance(facts.laid_out.types[one.ref].model, _FED)]
    if fed and facts.diagram.cell is None:
        text = msg("Your list has no battery. Without one {parts} can not work.", parts=", ".join(fed))
        fix = msg("Add a battery holder to your list, and join its + and its − to the rest.")
        at = tuple(spot for ref in fed for spot in facts.spots_of(ref))
        yield Finding(ID, LEVEL, text, fix, at=at, parts=tuple(fed))


def _cell_joined(facts: Facts) -> Iterator[Finding]:
    if facts.diagram.cell is None:
        return
    ref = facts.diagram.cell[0].partition(".")[0]
    if facts.diagram.joins(*facts.diagram.cell):
        text = msg("Your list joins the + and − of {part}.", part=ref)
        fix = msg("Take one of them out of it. A light must lie between + and −.")
        names = {name for node in facts.diagram.cell for name in facts.diagram.uses.get(node, ())}
        connections = tuple(one.name for one in facts.project.connections if one.name in names)
        yield Finding(ID, LEVEL, text, fix, at=facts.spots_of(ref), parts=(ref,), connections=connections)
    elif (found := facts.diagram.shorting_switch()) is not None:
        switch, position = found
        text = msg("Your list lets {switch} join the + and − of {part}.", switch=switch, part=ref)
        fix = msg("A light must lie on the way from + over {switch} to −.", switch=switch)
        where = (*facts.spots_of(ref), *facts.spots_of(switch))
        yield Finding(ID, LEVEL, text, fix, at=where, parts=(ref, switch), situations=(f"{switch}={position}",))


def _twice(facts: Facts) -> Iterator[Finding]:
    """One finding for terminals that the same connections share."""
    shared: dict[tuple[str, ...], list[str]] = {}
    for terminal, connections in facts.diagram.uses.items():
        if len(connections) > 1:
            shared.setdefault(connections, []).append(terminal)
    for connections, terminals in shared.items():
        holes = facts.labels(terminals)
        names = ", ".join(map(facts.connection, connections))
        text = msg("{holes} is in your list twice: in {names}.", holes=holes, names=names)
        fix = msg("Leave it in one of them.")
        at = tuple(facts.laid_out.spots[terminal] for terminal in terminals if terminal in facts.laid_out.spots)
        yield Finding(ID, LEVEL, text, fix, at=at, connections=connections, terminals=tuple(terminals))


def _nothing_to_do(facts: Facts) -> Iterator[Finding]:
    """Parts of which too few sides lead on, or whose two sides are one and the same by the circuit."""
    for part in facts.project.parts:
        if part.ref in facts.diagram.idle:
            fix = msg("Join both sides of {part} to the rest, or leave it out.", part=part.ref)
            yield Finding(ID, LEVEL, _idle(facts, part.ref), fix, at=facts.spots_of(part.ref), parts=(part.ref,))


def _idle(facts: Facts, ref: str) -> Message:
    if facts.diagram.sides_used(ref) == 0:
        return msg("{part} has nothing to do. Your list joins nothing to it.", part=ref)
    if not facts.diagram.supply_used(ref):
        return msg("{part} can not work. Your list does not join both its + and its −.", part=ref)
    if facts.diagram.bridged(ref):
        return msg("{part} has nothing to do. Your list joins its two sides to each other.", part=ref)
    return msg("{part} has nothing to do. Your list joins one of its sides only.", part=ref)
