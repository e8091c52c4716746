"""manage.py sewing_plan FILE: threads, steps, readings, materials and minutes of a layout."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kits.plan.make import make_plan
from kits.plan.unplanned import unplanned
from kits.plan.values import Material, Plan, Reading, Run, Step
from projects.circuit.document import Document
from projects.circuit.text import Message, msg
from projects.file_command import Answer, FileCommand
from projects.said import say

FORMAT = "tieoff-plan/1"


class Command(FileCommand):
    """Exits 0 where the lines join up every connection and none is left out, else 1."""

    help = "Plans how a layout is sewn: threads to cut, steps by stage, meter readings, materials, minutes."

    def respond(self, document: Document, options: Mapping[str, Any]) -> Answer:
        plan, left = make_plan(document), unplanned(document)
        return Answer("\n".join(_rows(document.project.title, plan, left)), plan_json(plan), not left)


def plan_json(plan: Plan) -> dict[str, object]:
    """The plan in the form `tieoff-plan/1`; texts are said in the language that is active."""
    return {
        "format": FORMAT,
        "runs": [_run(run) for run in plan.runs],
        "stages": [
            {"name": stage.name, "steps": [_step(step) for step in stage.steps], "minutes": stage.minutes}
            for stage in plan.stages
        ],
        "readings": [_reading(reading) for reading in plan.readings],
        "materials": [_material(material) for material in plan.materials],
        "minutes": plan.minutes,
    }


def _run(run: Run) -> dict[str, object]:
    """`split` only where the connection takes more threads than its lines need."""
    split = {} if run.split is None else {"split": say(run.split)}
    return {
        "name": run.name,
        "connection": run.connection,
        "terminals": list(run.terminals),
        "lines": list(run.lines),
        "path_mm": run.path_mm,
        "cut_mm": run.cut_mm,
        "minutes": run.minutes,
        **split,
    }


def _step(step: Step) -> dict[str, object]:
    return {
        "key": step.key,
        "action": step.action,
        "text": say(step.text),
        "run": step.run,
        "line": step.line,
        "terminal": step.terminal,
        "at": [{"piece": spot.piece, "x": spot.x, "y": spot.y} for spot in step.at],
        "minutes": step.minutes,
    }


def _reading(reading: Reading) -> dict[str, object]:
    return {
        "from": reading.start,
        "to": reading.end,
        "kind": reading.kind,
        "state": reading.state,
        "expected": reading.expected,
        "min": reading.min,
        "max": reading.max,
    }


def _material(material: Material) -> dict[str, object]:
    return {
        "name": material.name,
        "kind": material.kind,
        "type": material.part_type,
        "amount": material.amount,
        "unit": material.unit,
        "price": material.price,
        "parts": list(material.refs),
    }


def _rows(title: str, plan: Plan, left: Sequence[Message]) -> Iterator[str]:
    yield title
    yield from (say(message) for message in left)
    for run in plan.runs:
        yield say(
            msg(
                "Thread {number}: {connection}, {places}; cut {length} cm",
                number=run.name.removeprefix("t"),
                connection=run.connection or msg("no connection"),
                places=" → ".join(run.terminals),
                length=math.ceil(run.cut_mm / 10 - 1e-9),
            )
        )
        if run.split is not None:
            yield f"   {say(run.split)}"
    for stage in plan.stages:
        yield ""
        yield say(msg("{title} ({minutes} min)", title=stage.title, minutes=math.ceil(stage.minutes)))
        yield from (f"[ ] {say(step.text)}" for step in stage.steps)
    yield ""
    yield say(msg("To have ready"))
    for material in plan.materials:
        # A length of thread is said in cm, as on the sheets.
        amount, unit = (
            (math.ceil(material.amount / 10), "cm") if material.unit == "mm" else (material.amount, material.unit)
        )
        yield f"{amount:g} {unit}  {material.name}  {', '.join(material.refs)}".rstrip()
    yield say(msg("{minutes} min in all", minutes=math.ceil(plan.minutes)))
