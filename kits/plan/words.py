"""How places are named to a learner: by what is printed on the part, and by where it lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.layout import Side
from projects.circuit.part_types import Switch
from projects.circuit.text import Message, msg

__all__ = ["how_to_set", "place_words", "side_of", "spot_of"]


def side_of(laid: LaidOut, ref: str) -> Side:
    """The side of the fabric that a part lies on; outside where that is not known."""
    place = laid.places.get((ref, None))
    return place.side if place is not None else "outside"


def spot_of(laid: LaidOut, node: str) -> Spot | None:
    """Where a terminal or a join `@j1` lies, if it has a place."""
    return laid.joins.get(node[1:]) if node.startswith("@") else laid.spots.get(node)


def place_words(laid: LaidOut, node: str) -> Message:
    """A terminal as `B1 (+)`, with `upper`, `left` … where the part has two of that label; a join; a bend `s4~2`.

    Upper and left are as one sees the part: from the inside where it lies on the inside.
    """
    if node.startswith("@"):
        return msg("meeting point {name}", name=node[1:])
    if "~" in node:
        line, _, bend = node.partition("~")
        return msg("bend {bend} of line {line}", bend=bend, line=line)
    ref = node.partition(".")[0]
    label = laid.label(node)
    alike = [f"{ref}.{one.name}" for one in laid.types[ref].terminals if laid.label(f"{ref}.{one.name}") == label]
    if len(alike) == 1:
        return msg("{ref} ({label})", ref=ref, label=label)
    if len(alike) == 2:
        other = alike[0] if node == alike[1] else alike[1]
        where = _where(laid, node, other)
        if where is not None:
            return msg("{ref} ({label}, {where})", ref=ref, label=label, where=where)
    return msg("{ref} ({label}, hole {number})", ref=ref, label=label, number=alike.index(node) + 1)


def _where(laid: LaidOut, node: str, other: str) -> Message | None:
    here, there = laid.spots.get(node), laid.spots.get(other)
    if here is None or there is None or here.piece != there.piece:
        return None
    dx, dy = here.x - there.x, here.y - there.y
    if side_of(laid, node.partition(".")[0]) == "inside":
        dx = -dx
    if abs(dy) >= abs(dx):
        return msg("upper") if dy < 0 else msg("lower")
    return msg("left") if dx < 0 else msg("right")


def how_to_set(laid: LaidOut, choices: Mapping[str, str]) -> str | Message:
    """What to do so that a circuit is in a situation, each sentence with a space after it; empty for nothing to do.

    `choices` as in a situation's name: a position by switch, a level by sensor, `low` or `high` by output.
    """
    words: str | Message = ""
    for sentence in _sentences(laid, choices):
        words = msg("{before}{sentence} ", before=words, sentence=sentence)
    return words


def _sentences(laid: LaidOut, choices: Mapping[str, str]) -> Iterator[Message]:
    boards: dict[str, str] = {}
    for what, choice in choices.items():
        ref, dot, _ = what.partition(".")
        if dot:
            boards[ref] = "high" if "high" in (choice, boards.get(ref)) else choice
            continue
        model = laid.types[ref].model
        if not isinstance(model, Switch):
            yield msg("Let {ref} be {level}.", ref=ref, level=choice)
        elif model.momentary and choice != model.positions[0].name:
            yield msg("Hold {ref} {position}.", ref=ref, position=choice)
        else:
            yield msg("Set {ref} to {position}.", ref=ref, position=choice)
    for ref, level in boards.items():
        if level == "high":
            yield msg("Run the test of {ref}: turn its outputs on.", ref=ref)
        else:
            yield msg("Turn the outputs of {ref} off.", ref=ref)
