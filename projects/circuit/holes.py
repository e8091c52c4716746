"""How a terminal is named for people: by its part, by what is printed beside it, and by where it lies."""

from __future__ import annotations

from projects.circuit.fabric import LaidOut
from projects.circuit.layout import Side
from projects.circuit.text import Message, msg

__all__ = ["hole_words", "side_of"]


def side_of(laid_out: LaidOut, ref: str) -> Side:
    """The side of the fabric that a part lies on; outside where that is not known."""
    place = laid_out.places.get((ref, None))
    return place.side if place is not None else "outside"


def hole_words(laid_out: LaidOut, terminal: str) -> Message:
    """A terminal as `B1 (+)`; with `upper`, `left` …, or its number, where the part has more of that label.

    Upper and left are as one sees the part: from the inside where it lies on the inside.
    """
    ref = terminal.partition(".")[0]
    label = laid_out.label(terminal)
    names = (f"{ref}.{one.name}" for one in laid_out.types[ref].terminals)
    alike = [name for name in names if laid_out.label(name) == label]
    if len(alike) == 1:
        return msg("{ref} ({label})", ref=ref, label=label)
    if len(alike) == 2:
        other = alike[0] if terminal == alike[1] else alike[1]
        where = _where(laid_out, terminal, other)
        if where is not None:
            return msg("{ref} ({label}, {where})", ref=ref, label=label, where=where)
    return msg("{ref} ({label}, hole {number})", ref=ref, label=label, number=alike.index(terminal) + 1)


def _where(laid_out: LaidOut, terminal: str, other: str) -> Message | None:
    here, there = laid_out.spots.get(terminal), laid_out.spots.get(other)
    if here is None or there is None or here.piece != there.piece:
        return None
    dx, dy = here.x - there.x, here.y - there.y
    if side_of(laid_out, terminal.partition(".")[0]) == "inside":
        dx = -dx
    if abs(dy) >= abs(dx):
        return msg("upper") if dy < 0 else msg("lower")
    return msg("left") if dx < 0 else msg("right")
