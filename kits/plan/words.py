"""How places are named to a learner: by what is printed on the part, and by where it lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.holes import hole_words
from projects.circuit.part_types import Switch
from projects.circuit.text import Message, msg

__all__ = ["how_to_set", "place_words", "spot_of"]


def spot_of(laid: LaidOut, node: str) -> Spot | None:
    """Where a terminal or a join `@j1` lies, if it has a place."""
    return laid.joins.get(node[1:]) if node.startswith("@") else laid.spots.get(node)


def place_words(laid: LaidOut, node: str) -> Message:
    """A terminal as `hole_words` has it; a join `@j1`; a bend `s4~2`."""
    if node.startswith("@"):
        return msg("meeting point {name}", name=node[1:])
    if "~" in node:
        line, _, bend = node.partition("~")
        return msg("bend {bend} of line {line}", bend=bend, line=line)
    return hole_words(laid, node)


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
