"""Why a project file is refused: the place, what is wrong there, what is allowed; always one line."""

from __future__ import annotations

import re
from collections.abc import Iterable

from projects.circuit.text import Message

__all__ = ["Refusal", "listed", "place_of", "quoted"]

_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_-]{0,39}")
_SHOWN = 40
_LISTED = 16


class Refusal(Exception):
    """A project file that cannot be read.

    `place` is written as in the contract (`project.parts[3].ref`), or `file`, or `line 3, column 7`.
    `wrong` and `allowed` are Messages, translated at a border; `str()` is the whole in English on one line.

    >>> from projects.circuit.text import msg
    >>> str(Refusal("project.title", msg("this key is missing"), msg("a text")))
    'project.title: this key is missing; allowed: a text'
    """

    def __init__(self, place: str, wrong: Message, allowed: Message) -> None:
        super().__init__(place, wrong, allowed)
        self.place = place
        self.wrong = wrong
        self.allowed = allowed

    def __str__(self) -> str:
        # Whatever a value brought along, nothing in it may start a second line.
        return " ".join(f"{self.place}: {self.wrong}; allowed: {self.allowed}".split())


def place_of(steps: Iterable[str | int]) -> str:
    """A path of keys and positions, as the contract writes it; `file` for the whole.

    >>> place_of(["layout", "lines", 2, "via", 0, 1])
    'layout.lines[2].via[0][1]'
    >>> place_of(["project", "pins", "M1.a2"])
    'project.pins["M1.a2"]'
    """
    place = ""
    for step in steps:
        if isinstance(step, int):
            place += f"[{step}]"
        elif _PLAIN_KEY.fullmatch(step):
            place += f".{step}" if place else step
        else:
            place += f"[{quoted(step)}]"
    return place or "file"


def quoted(value: object) -> str:
    """A value from the file as shown to people: one line, cut to about forty characters.

    >>> quoted("two\\nlines"), quoted(True), quoted(2.5), quoted([1])
    ('"two\\\\nlines"', 'true', '2.5', 'a list')
    """
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, int | float):
        return _cut(f"{value:g}" if isinstance(value, float) else str(value))
    return f'"{_cut("".join(_visible(letter) for letter in str(value)[: _SHOWN + 1]))}"'


def _visible(letter: str) -> str:
    return letter if letter.isprintable() else letter.encode("unicode_escape").decode("ascii")


def _cut(text: str) -> str:
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"


def listed(names: Iterable[str]) -> str:
    """Names in a row, the first sixteen.

    >>> listed(["front", "back"])
    'front, back'
    """
    shown = list(names)
    row = ", ".join(shown[:_LISTED])
    return f"{row} …" if len(shown) > _LISTED else row or "none yet"
