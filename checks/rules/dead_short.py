"""Thread must never join the two sides of the battery.

Why: then all the current runs through the thread and none through your lights. The battery goes flat fast. With
a strong battery pack the thread gets hot and can burn you.

Wrong: a line from + of the battery touches a line from −.

Right: on each way from + to − there is a light, a board or some other part.

How to mend: leave the battery out. Move the lines apart where they touch.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.switching import DeadShort
from projects.circuit.part_types import Switch
from projects.circuit.text import Message, msg

ID = "dead-short"
LEVEL: Level = "stop"

_BURNS_WATTS = 1.0
_WARMS_WATTS = 0.1


def check(facts: Facts) -> Iterator[Finding]:
    """At most one finding: the first choice of switch positions in which the cell is shorted."""
    short = facts.dead_short
    if short is None:
        return
    spots = tuple(contact.spot for contact in short.contacts)
    at = spots or tuple(facts.laid_out.spots[terminal] for terminal in short.terminals)
    yield Finding(
        ID,
        LEVEL,
        _text(short),
        _fix(facts, short),
        at=at,
        parts=(short.cell,),
        lines=short.lines,
        terminals=short.terminals,
        situations=_situation(facts, short),
    )


def _text(short: DeadShort) -> Message:
    amps, watts = f"{short.amps:.2f}", f"{short.watts:.1f}"
    if short.watts > _BURNS_WATTS:
        return msg(
            "The + and − of {cell} are joined. {amps} A would flow. It makes {watts} W of heat in the thread. "
            "The thread gets hot and can burn you!",
            cell=short.cell,
            amps=amps,
            watts=watts,
        )
    if short.watts < _WARMS_WATTS:
        return msg("The + and − of {cell} are joined. {amps} A would flow.", cell=short.cell, amps=amps)
    return msg(
        "The + and − of {cell} are joined. {amps} A would flow. It makes {watts} W of heat in the thread.",
        cell=short.cell,
        amps=amps,
        watts=watts,
    )


def _fix(facts: Facts, short: DeadShort) -> Message:
    if short.contacts:
        return msg("Keep the battery out of {cell}. Move the lines apart where they touch.", cell=short.cell)
    if len(short.lines) == 1:
        return msg(
            "Keep the battery out of {cell}. Take out the line {line}.",
            cell=short.cell,
            line=facts.line(short.lines[0]),
        )
    lines = facts.lines(short.lines)
    return msg(
        "Keep the battery out of {cell}. Take out one line on this way: the lines {lines}.",
        cell=short.cell,
        lines=lines,
    )


def _situation(facts: Facts, short: DeadShort) -> tuple[str, ...]:
    """The switch positions as situations are named."""
    switches = [part.ref for part in facts.project.parts if isinstance(facts.laid_out.types[part.ref].model, Switch)]
    return (", ".join(f"{ref}={short.positions[ref]}" for ref in switches),) if switches else ()
