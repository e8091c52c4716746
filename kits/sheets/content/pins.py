"""The pin table of a controller: what each metal hole is used for, what hangs on it, and how to try it."""

from __future__ import annotations

from dataclasses import dataclass

from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Controller
from projects.circuit.project import PinUse
from projects.circuit.text import Message, msg

__all__ = ["PinRow", "pin_rows"]

_USES: dict[PinUse, tuple[Message, Message]] = {
    "output": (msg("output, on or off"), msg("Switch it on and off. Does the part follow?")),
    "fade": (msg("output, can fade"), msg("Fade it up and down. Does the part follow?")),
    "input": (msg("input"), msg("Press or move the part. Does the input change?")),
    "input-pull-up": (msg("input with pull-up"), msg("Press or move the part. Does the input change to low?")),
    "analog": (msg("analog input"), msg("Change what it senses. Does the number change?")),
    "touch": (msg("touch input"), msg("Touch it. Does the number change?")),
}
_SUPPLY = {
    "positive": (msg("power, +"), msg("Does the board start with the battery in?")),
    "negative": (msg("power, −"), msg("Does the board start with the battery in?")),
}


@dataclass(frozen=True)
class PinRow:
    """One metal hole of a controller: its label, its use, what it is joined to, and how to try it."""

    part: str
    label: str
    use: Message
    joined_to: tuple[Message, ...]
    test: Message


def pin_rows(laid_out: LaidOut) -> tuple[PinRow, ...]:
    """A row for every terminal of every controller that the circuit uses, in the order of the part's terminals."""
    rows = []
    for terminal in laid_out.terminals():
        ref, _, name = terminal.partition(".")
        part_type = laid_out.types[ref]
        if not isinstance(part_type.model, Controller):
            continue
        found = _use(laid_out, terminal, part_type.terminal(name).role)
        if found is not None:
            rows.append(PinRow(ref, laid_out.label(terminal), found[0], _others(laid_out, terminal), found[1]))
    return tuple(rows)


def _use(laid_out: LaidOut, terminal: str, role: str | None) -> tuple[Message, Message] | None:
    if terminal in laid_out.project.pins:
        return _USES[laid_out.project.pins[terminal]]
    if laid_out.project.connection_of(terminal) is None:
        return None
    return _SUPPLY.get(role or "", (msg("joined, no use given"), msg("Ask what this one is for.")))


def _others(laid_out: LaidOut, terminal: str) -> tuple[Message, ...]:
    """The other terminals of its connection, those of one part with the same label only once."""
    ends = next((c.terminals for c in laid_out.project.connections if terminal in c.terminals), ())
    ref = terminal.partition(".")[0]
    words = [_short_words(laid_out, end) for end in ends if end.partition(".")[0] != ref]
    return tuple({str(word): word for word in words}.values())


def _short_words(laid_out: LaidOut, end: str) -> Message:
    """A terminal without where it lies: what it is joined to is the same for all of that label."""
    return msg("{ref} ({label})", ref=end.partition(".")[0], label=laid_out.label(end))
