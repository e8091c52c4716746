"""Thread of two things that must not be joined must never touch.

Why: the thread is bare metal. Where two lines cross or lie side by side, current takes the short way and your
lights stay dark.

Wrong: the line from + crosses the line from −.

Right: one line goes round the other, or a cover lies between them.

How to mend: move one line, or sew a scrap of plain fabric, the cover, between the two.
"""

from __future__ import annotations

from collections.abc import Iterator

from checks.compare import Short
from checks.facts import Facts
from checks.findings import Finding, Level
from checks.sewn import Contact
from projects.circuit.text import Message, msg

ID = "short"
LEVEL: Level = "stop"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a pair of connections; what only comes from a part the wrong way round is left out."""
    for short in facts.comparison.shorts:
        if tuple(sorted(short.connections)) not in facts.reversal.shorts:
            yield _finding(facts, short)


def _finding(facts: Facts, short: Short) -> Finding:
    lines = [line for contact in short.contacts for line in contact.lines]
    passed = [contact.terminal for contact in short.contacts if contact.terminal]
    between = [line for terminal in short.between for line in facts.sewn.threads_at.get(terminal, ())]
    at = [contact.spot for contact in short.contacts]
    at += [facts.laid_out.spots[terminal] for terminal in short.between]
    direct = {end for line in short.lines for end in facts.ends_of[line] if not end.startswith("@")}
    if not at:
        at = [facts.laid_out.spots[end] for end in sorted(direct) if end in facts.laid_out.spots]
    text, fix = _texts(facts, short)
    return Finding(
        ID,
        LEVEL,
        text,
        fix,
        at=tuple(at),
        lines=tuple(dict.fromkeys([*lines, *short.lines, *between])),
        connections=short.connections,
        terminals=tuple(dict.fromkeys([*passed, *short.between, *sorted(direct)])),
    )


def _texts(facts: Facts, short: Short) -> tuple[Message, Message]:
    first, second = (facts.connection(name) for name in short.connections)
    if short.lines:
        lines = [line for line in facts.ends_of if line in short.lines]
        if len(lines) == 1:
            text = msg("The line {line} joins {one} to {other}.", line=facts.line(lines[0]), one=first, other=second)
        else:
            text = msg("The lines {lines} join {one} to {other}.", lines=facts.lines(lines), one=first, other=second)
        return text, msg("That must not be. Take it out, or let it end at the right metal hole.")
    if not short.contacts:
        holes = facts.labels(short.between)
        text = msg("{first} and {second} meet at {holes}.", first=first, second=second, holes=holes)
        return text, msg("Let each line end at its own metal hole.")
    if len(short.contacts) > 1:
        count = len(short.contacts)
        text = msg("{first} and {second} touch in {count} places.", first=first, second=second, count=count)
        return text, msg("Move the lines apart in all {count} places, or sew a cover there.", count=count)
    where = _where(facts, short.contacts[0])
    text = msg("{where} So {first} and {second} are joined.", where=where, first=first, second=second)
    if short.contacts[0].terminal:
        return text, msg("Take the line round that metal hole.")
    return text, msg("Move one of the lines away, or sew a cover where they touch.")


def _where(facts: Facts, contact: Contact) -> Message:
    if contact.terminal is not None:
        return msg(
            "The line {line} runs over {hole}.", line=facts.line(contact.line), hole=facts.label(contact.terminal)
        )
    return msg("The lines {lines} touch.", lines=facts.lines(contact.lines))
