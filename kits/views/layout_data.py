"""What the layout page's own script needs, as JSON values: the circuit, the parts' pictures, the layout, the words."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from kits.views.findings import Shown
from kits.views.layout_words import words
from projects.circuit.catalogue import part_types_of
from projects.circuit.document import Document
from projects.circuit.part_types import Link, PartType, Switch
from projects.circuit.project import Piece, Project
from projects.drawing import Mark
from projects.drawing.cloth import seam_rings
from projects.drawing.cutout import part_box, part_fragment
from projects.drawing.labels import connection_labels
from projects.drawing.part_art import terminal_words
from projects.drawing.refs import room_on
from projects.drawing.style import PLAIN, line_colour
from projects.drawing.view import View
from projects.said import say_name
from projects.stored import layout_json

__all__ = ["Sheet", "circuit_json", "marks_json", "page_data"]

Json = dict[str, Any]


@dataclass(frozen=True)
class Sheet:
    """A layout that a page shows: of a kit, or the example of a project.

    `key` names it on this device; `fixed` says why it may not be changed now, empty if it may.
    """

    key: str
    document: Document
    version: int
    save_url: str
    fixed: str = ""


def page_data(sheet: Sheet, shown: Shown) -> Json:
    """All that the page's script starts from; lengths in mm as seen from the outside, angles in degrees clockwise."""
    return {
        **circuit_json(sheet.document.project),
        "kit": sheet.key,
        "version": sheet.version,
        "save_url": sheet.save_url,
        "fixed": sheet.fixed,
        "layout": layout_json(sheet.document.layout),
        "marks": marks_json(shown.marks),
        "stops": shown.stops,
        "made": time.time(),
        "worker_url": reverse("kits:layout-worker"),
        "words": {key: str(text) for key, text in words().items()},
    }


def circuit_json(project: Project) -> Json:
    """What a script must know of a circuit to draw any layout of it."""
    types = part_types_of(project)
    labels = connection_labels(project)
    return {
        "stitch": project.settings.stitch_mm,
        "pieces": [_piece(piece) for piece in project.pieces],
        "parts": [{"ref": part.ref, "type": part.type, "apart": _apart(types[part.ref])} for part in project.parts],
        "types": {part_type.type: _type(part_type, _refs(project, part_type)) for part_type in types.values()},
        "connections": [
            {
                "name": connection.name,
                "label": labels[connection.name],
                "colour": line_colour(labels[connection.name]),
                "terminals": connection.terminals,
            }
            for connection in project.connections
        ],
    }


def marks_json(marks: Iterable[Mark]) -> list[Json]:
    """A mark at each place of each finding, with the finding's number."""
    return [
        {
            "piece": mark.spot.piece,
            "x": mark.spot.x,
            "y": mark.spot.y,
            "kind": mark.kind,
            "number": mark.number,
            "title": mark.title,
        }
        for mark in marks
    ]


def _piece(piece: Piece) -> Json:
    x, y = piece.outline[0]
    inner = seam_rings(View(piece, "outside", (x, y, x, y)))
    return {"name": piece.name, "outline": piece.outline, "inner": inner}


def _apart(part_type: PartType) -> bool:
    """Whether the page places its terminals one by one: seam crossings, and snaps, which come in two halves."""
    snap = isinstance(part_type.model, Switch) and part_type.type.startswith("snap")
    return isinstance(part_type.model, Link) or snap


def _refs(project: Project, part_type: PartType) -> list[str]:
    return [part.ref for part in project.parts if part.type == part_type.type]


def _type(part_type: PartType, refs: Sequence[str]) -> Json:
    left, top, right, bottom = part_box(part_type)
    return {
        "name": say_name(part_type.name),
        "art": part_fragment(part_type),
        "words": [
            {"words": word.words, "x": word.x, "y": word.y, "size": word.size} for word in terminal_words(part_type)
        ],
        "terminals": [
            {"name": terminal.name, "label": terminal.label, "x": terminal.x, "y": terminal.y}
            for terminal in part_type.terminals
        ],
        "groups": part_type.groups(),
        "radius": part_type.terminal_radius,
        "corners": [(left, top), (right, top), (right, bottom), (left, bottom)],
        "half": min(right - left, bottom - top) / 2,
        "reach": max(-left, right, -top, bottom),
        "room": all(room_on(part_type, ref, PLAIN.font_mm) for ref in refs),
    }
