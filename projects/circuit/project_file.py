"""Reading and writing the project file: bytes in, one value or one clear refusal out."""

from __future__ import annotations

import json
from collections.abc import Iterator

from pydantic import ValidationError

from projects.circuit.document import Document
from projects.circuit.json_text import MAX_BYTES, parse
from projects.circuit.references import check_references
from projects.circuit.refusal import Refusal
from projects.circuit.text import msg
from projects.circuit.wording import json_schema, refusal_of

__all__ = ["Refusal", "read", "schema_text", "write"]

_LINE = 120
"""What fits into this many characters is written on one line: a point, a place, a short line."""


def read(data: bytes) -> Document:
    """The document that a project file holds; raises Refusal, and nothing else, for a bad file.

    Keys that are missing get the contract's defaults; a top-level `suggestion` is dropped.
    """
    value = parse(data)
    value.pop("suggestion", None)
    try:
        # Through JSON again: in strict mode only JSON lists may become tuples.
        document = Document.model_validate_json(json.dumps(value), by_alias=True, by_name=False)
    except ValidationError as error:
        raise refusal_of(error) from None
    check_references(document)
    return document


def write(document: Document) -> bytes:
    """The project file of a document, which reads back equal: UTF-8, indented, keys in the contract's order.

    A document that would pass the size limit when indented is written without spaces; one that passes
    it even so raises Refusal.
    """
    value = _shortened(document.model_dump(mode="json", by_alias=True, exclude_none=True))
    data = _indented(value).encode()
    if len(data) > MAX_BYTES:
        data = json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()
    if len(data) > MAX_BYTES:
        raise Refusal("file", msg("it would be larger than 2 MiB"), msg("at most {bytes} bytes", bytes=MAX_BYTES))
    return data


def schema_text() -> str:
    """JSON Schema of the project file as text, as `manage.py write_schema` keeps it."""
    return json.dumps(json_schema(), ensure_ascii=False, indent=2) + "\n"


def _shortened(value: object) -> object:
    """Numbers without a needless `.0`."""
    if isinstance(value, dict):
        return {key: _shortened(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_shortened(inner) for inner in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def _indented(value: object) -> str:
    return "".join(_rows(value, "", "")) + "\n"


def _rows(value: object, indent: str, before: str) -> Iterator[str]:
    """The text of a value, broken only where it does not fit on a line."""
    flat = json.dumps(value, ensure_ascii=False)
    if not value or not isinstance(value, dict | list) or len(indent) + len(before) + len(flat) <= _LINE:
        yield f"{before}{flat}"
        return
    opening, closing = "{}" if isinstance(value, dict) else "[]"
    entries = (
        [(f"{json.dumps(key, ensure_ascii=False)}: ", inner) for key, inner in value.items()]
        if isinstance(value, dict)
        else [("", inner) for inner in value]
    )
    yield f"{before}{opening}"
    deeper = indent + "  "
    for position, (key, inner) in enumerate(entries):
        yield f"{',' if position else ''}\n{deeper}"
        yield from _rows(inner, deeper, key)
    yield f"\n{indent}{closing}"
