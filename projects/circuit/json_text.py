"""From bytes to plain JSON values, safely: limits of size and depth, no repeated keys, no odd numbers."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator

from projects.circuit.refusal import Refusal, place_of, quoted
from projects.circuit.text import msg

__all__ = ["MAX_BYTES", "MAX_DEPTH", "MAX_KEYS", "parse"]

MAX_BYTES = 2 * 1024 * 1024
MAX_DEPTH = 32
MAX_KEYS = 2000

_BOM = b"\xef\xbb\xbf"
# A whole string or a bracket. A string that never ends counts too: else it would be scanned again from each quote.
_STRING_OR_BRACKET = re.compile(r'"(?:[^"\\]++|\\.?)*+"?+|[][{}]', re.DOTALL)
_MOST_DIGITS = 308
"""No float holds a whole number of more digits; int() itself is slow on long ones."""


class _Object(dict[str, object]):
    """A JSON object that remembers the first key that came twice."""

    repeated: str | None = None


def parse(data: bytes) -> dict[str, object]:
    """The JSON object that `data` holds, UTF-8 with or without a byte order mark; Refusal otherwise."""
    text = _text(data)
    _check_depth(text)
    try:
        value = json.loads(
            text, object_pairs_hook=_object, parse_constant=float, parse_int=_whole_number, parse_float=_number
        )
    except json.JSONDecodeError as error:
        words = error.msg[0].lower() + error.msg[1:]
        raise Refusal(
            _spot(text, error.pos), msg("this is not JSON: {words}", words=words), msg("one JSON object")
        ) from None
    if not isinstance(value, dict):
        raise Refusal("file", msg("it holds {value}", value=quoted(value)), msg("one JSON object"))
    for refusal in _faults(value, []):
        raise refusal
    return value


def _text(data: bytes) -> str:
    if len(data) > MAX_BYTES:
        raise Refusal("file", msg("it is larger than 2 MiB"), msg("at most {bytes} bytes", bytes=MAX_BYTES))
    try:
        return data.removeprefix(_BOM).decode("utf-8")
    except UnicodeDecodeError as error:
        raise Refusal("file", msg("byte {position} is not UTF-8", position=error.start), msg("text in UTF-8")) from None


def _check_depth(text: str) -> None:
    depth = 0
    for found in _STRING_OR_BRACKET.finditer(text):
        token = found[0]
        if token in ("[", "{"):
            depth += 1
            if depth > MAX_DEPTH:
                raise Refusal(
                    _spot(text, found.start()),
                    msg("lists and objects are nested too deep"),
                    msg("at most {depth} levels", depth=MAX_DEPTH),
                )
        elif token in ("]", "}"):
            depth -= 1


def _spot(text: str, position: int) -> str:
    line = text.count("\n", 0, position) + 1
    column = position - text.rfind("\n", 0, position)
    return f"line {line}, column {column}"


def _object(pairs: list[tuple[str, object]]) -> _Object:
    found = _Object()
    for key, value in pairs:
        if key in found and found.repeated is None:
            found.repeated = key
        found[key] = value
    return found


def _whole_number(digits: str) -> int | float:
    return int(digits) if len(digits) <= _MOST_DIGITS else float(digits)


def _number(text: str) -> int | float:
    """JSON knows one kind of number: 2.0 is as whole as 2."""
    value = float(text)
    return int(value) if value.is_integer() and abs(value) < 2**53 else value


def _faults(value: object, path: list[str | int]) -> Iterator[Refusal]:
    """What JSON lets pass and a project file does not, in the order of the file."""
    if isinstance(value, _Object):
        if value.repeated is not None:
            yield Refusal(place_of([*path, value.repeated]), msg("this key comes twice"), msg("each key once"))
        if len(value) > MAX_KEYS:
            yield Refusal(place_of(path), msg("it has too many keys"), msg("at most {keys} keys", keys=MAX_KEYS))
        for key, inner in value.items():
            if not _is_whole_text(key):
                yield _half_character([*path, key])
            yield from _faults(inner, [*path, key])
    elif isinstance(value, list):
        for position, inner in enumerate(value):
            yield from _faults(inner, [*path, position])
    elif isinstance(value, float) and not math.isfinite(value):
        yield Refusal(
            place_of(path),
            msg("{value} is not a number here", value=quoted(value)),
            msg("a number, not NaN or infinite"),
        )
    elif isinstance(value, str) and not _is_whole_text(value):
        yield _half_character(path)


def _is_whole_text(text: str) -> bool:
    return text.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in text)


def _half_character(path: list[str | int]) -> Refusal:
    return Refusal(place_of(path), msg("half of a \\u pair is missing"), msg("whole characters"))
