"""Texts that the pure core hands out: a pattern and its values, translated only at a border."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import reduce
from types import MappingProxyType

__all__ = ["Message", "listed", "msg"]


@dataclass(frozen=True)
class Message:
    """A text for people: `text` is a `str.format` pattern in English, `values` fill its braces.

    The pattern is the key for translation, so nothing computed is ever written into it.
    Borders (web, commands, sheets) translate `text`, then fill it; `str()` fills the English.
    A value may itself be a Message.

    >>> str(Message("{part} is not on the fabric yet.", {"part": "L1"}))
    'L1 is not on the fabric yet.'
    """

    text: str
    values: Mapping[str, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))

    def __str__(self) -> str:
        return self.text.format(**{name: str(value) for name, value in self.values.items()})

    def __hash__(self) -> int:
        return hash((self.text, tuple(sorted((name, str(value)) for name, value in self.values.items()))))


def msg(text: str, **values: object) -> Message:
    """A Message; the call by which translation finds the pattern (`xgettext --keyword=msg`)."""
    return Message(text, values)


def listed(words: Sequence[Message]) -> Message:
    """Messages one after another, a comma between them. Raises TypeError for none.

    >>> str(listed([msg("S1 on"), msg("new battery")]))
    'S1 on, new battery'
    """
    return reduce(lambda before, one: msg("{some}, {one}", some=before, one=one), words)
