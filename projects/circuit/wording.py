"""What pydantic found wrong, said in plain words at the place where the contract names it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from projects.circuit.base import Name, Ref, Text
from projects.circuit.document import Document
from projects.circuit.layout import End
from projects.circuit.part_types import Colour, Label
from projects.circuit.refusal import Refusal, listed, place_of, quoted
from projects.circuit.text import Message, msg

__all__ = ["json_schema", "refusal_of"]

Loc = Sequence[str | int]

_KINDS: Mapping[str, Message] = {
    "string_type": msg("a text"),
    "float_type": msg("a number"),
    "int_type": msg("a whole number"),
    "int_from_float": msg("a whole number"),
    "bool_type": msg("true or false"),
    "tuple_type": msg("a list"),
    "list_type": msg("a list"),
    "dict_type": msg("an object"),
    "model_type": msg("an object"),
    "model_attributes_type": msg("an object"),
}
_LIMITS: Mapping[str, tuple[str, Message]] = {
    "greater_than": ("gt", msg("more than {limit}")),
    "greater_than_equal": ("ge", msg("at least {limit}")),
    "less_than": ("lt", msg("less than {limit}")),
    "less_than_equal": ("le", msg("at most {limit}")),
}
_LENGTHS: Mapping[str, tuple[str, Message]] = {
    "too_short": ("min_length", msg("{limit} or more entries")),
    "too_long": ("max_length", msg("at most {limit} entries")),
    "string_too_short": ("min_length", msg("{limit} or more characters")),
    "string_too_long": ("max_length", msg("at most {limit} characters")),
}


def _pattern(text_type: Any) -> str:
    return str(get_args(text_type)[1].pattern)


_PATTERNS: Mapping[str, Message] = {
    _pattern(Name): msg("a letter, then up to 31 letters, digits, _ or -"),
    _pattern(Ref): msg("a terminal, such as B1.p1"),
    _pattern(End): msg("a terminal, such as B1.p1, or a join, such as @j1"),
    _pattern(Colour): msg("a colour word in small letters, or # and six hex digits"),
    _pattern(Text): msg("one line without control characters"),
    _pattern(Label): msg("one line without control characters"),
}


def refusal_of(error: ValidationError) -> Refusal:
    """The first thing that pydantic found wrong in a document, as a Refusal."""
    first = error.errors(include_url=False)[0]
    loc = first["loc"]
    wrong, allowed = _said(first)
    return Refusal(place_of(_steps(loc)), wrong, allowed)


def _steps(loc: Loc) -> list[str | int]:
    """The path in the file: without the name of the kind that pydantic puts after `body` and `model`."""
    steps = [step for step in loc if step != "[key]"]
    if steps[1:2] == ["part_types"] and steps[3:4] in (["body"], ["model"]):
        del steps[4:5]
    return steps


def _said(error: ErrorDetails) -> tuple[Message, Message]:
    kind, value, context = error["type"], quoted(error["input"]), error.get("ctx", {})
    if kind == "missing":
        if isinstance(error["loc"][-1], int):
            return msg("this entry is missing"), msg("two entries")
        return msg("this key is missing"), msg("only keys that have a default may be left out")
    if kind == "extra_forbidden":
        return msg("this key is unknown"), msg("{names}", names=listed(_keys_beside(error["loc"])))
    if kind in _KINDS:
        return msg("{value} is of the wrong kind", value=value), _KINDS[kind]
    if kind in _LIMITS:
        limit, words = _LIMITS[kind]
        return msg("{value} is out of range", value=value), _filled(words, context[limit])
    if kind in _LENGTHS:
        limit, words = _LENGTHS[kind]
        wrong = msg("it is too short") if kind.endswith("short") else msg("it is too long")
        return wrong, _filled(words, context[limit])
    return _said_of_choice(kind, value, context, error["msg"])


def _said_of_choice(kind: str, value: str, context: Mapping[str, Any], words: str) -> tuple[Message, Message]:
    if kind == "string_pattern_mismatch":
        fallback = msg("a text that fits {pattern}", pattern=context["pattern"])
        return msg("{value} is not allowed", value=value), _PATTERNS.get(context["pattern"], fallback)
    if kind == "literal_error":
        return msg("{value} is not known", value=value), msg("{names}", names=context["expected"])
    if kind == "union_tag_invalid":
        key, names = context["discriminator"].strip("'"), context["expected_tags"]
        wrong = msg("{key} {value} is not known", key=key, value=quoted(context["tag"]))
        return wrong, msg("{names}", names=names)
    if kind == "union_tag_not_found":
        key = context["discriminator"].strip("'")
        return msg("the key {key} is missing", key=key), msg("an object with {key}", key=key)
    return msg("{words}", words=words), msg("what the file format describes")


def _filled(words: Message, limit: object) -> Message:
    return Message(words.text, {"limit": f"{limit:g}" if isinstance(limit, float) else limit})


@cache
def json_schema() -> Mapping[str, Any]:
    """JSON Schema of the project file, keys as the file has them."""
    schema = Document.model_json_schema(by_alias=True)
    schema["properties"]["suggestion"] = {"description": "What `suggest_lines` adds; reading drops it."}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _keys_beside(loc: Loc) -> list[str]:
    """Keys that the object around this unknown key may have, found by walking the schema."""
    schema = json_schema()
    here: Any = schema
    for step in loc[:-1]:
        if isinstance(step, int):
            here = here["items"]
        elif "discriminator" in here:
            here = {"$ref": here["discriminator"]["mapping"][step]}
        else:
            here = here["properties"][step]
        here = _without_null(here)
        if "$ref" in here:
            here = schema["$defs"][here["$ref"].rpartition("/")[2]]
    return list(here["properties"])


def _without_null(schema: Any) -> Any:
    return next((one for one in schema.get("anyOf", ()) if one.get("type") != "null"), schema)
