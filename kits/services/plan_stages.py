"""The stages of a document's plan, as a kit keeps them for the board."""

from __future__ import annotations

from typing import Any

from kits.plan.make import make_plan
from projects.circuit.document import Document
from projects.circuit.text import Message

__all__ = ["planned_stages"]


def planned_stages(document: Document) -> list[dict[str, Any]]:
    """Name, title (a Message's pattern and values, so that it is said in the reader's language) and look."""
    return [
        {"name": stage.name, "title": stage.title.text, "values": _plain(stage.title), "look": stage.look}
        for stage in make_plan(document).stages
    ]


def _plain(message: Message) -> dict[str, str]:
    return {name: str(value) for name, value in message.values.items()}
