"""The stages of a document's plan, as a kit keeps them for the board."""

from __future__ import annotations

from typing import Any

from kits.plan.make import make_plan
from kits.plan.values import Plan
from projects.circuit.document import Document
from projects.circuit.text import Message

__all__ = ["planned_stages", "stages_of_plan"]


def planned_stages(document: Document) -> list[dict[str, Any]]:
    """The stages of a document that nobody has begun to sew."""
    return stages_of_plan(make_plan(document))


def stages_of_plan(plan: Plan) -> list[dict[str, Any]]:
    """Name, title (a Message's pattern and values, so that it is said in the reader's language), look, minutes.

    `goes_on`: steps come after the look, so that the look does not end the stage.
    `longest`: minutes of the longest step, by which a kit whose steps are ticked one by one is called stuck.
    """
    return [
        {
            "name": stage.name,
            "title": stage.title.text,
            "values": _plain(stage.title),
            "look": stage.look,
            "goes_on": stage.look and stage.steps[-1].key != f"look:{stage.name}",
            "minutes": round(stage.minutes, 1),
            "longest": round(max((step.minutes for step in stage.steps), default=0.0), 1),
        }
        for stage in plan.stages
    ]


def _plain(message: Message) -> dict[str, str]:
    return {name: str(value) for name, value in message.values.items()}
