"""Documents and layouts as the database keeps them: JSON in the form of the project file."""

from __future__ import annotations

import json
from typing import Any

from projects.circuit.document import Document
from projects.circuit.layout import Layout

__all__ = ["document_from", "document_json", "layout_from", "layout_json"]

Json = dict[str, Any]


def document_json(document: Document) -> Json:
    """The document as JSON values, for a JSONField."""
    return document.model_dump(mode="json")


def document_from(stored: Json) -> Document:
    """The document that a JSONField holds; it was read with every check before it was stored."""
    return Document.model_validate_json(json.dumps(stored))


def layout_json(layout: Layout) -> Json:
    """The layout as JSON values, for a JSONField."""
    return layout.model_dump(mode="json")


def layout_from(stored: Json) -> Layout:
    """The layout that a JSONField holds; nothing stored is an empty layout."""
    return Layout.model_validate_json(json.dumps(stored or {}))
