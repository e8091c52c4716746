"""The pages on which a draft is edited: what each of them shows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy as _

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.editing.outlines import box_of
from projects.circuit.editing.parts import known_types
from projects.circuit.fabric import lay_out
from projects.circuit.layout import Layout
from projects.circuit.part_types import Controller
from projects.circuit.project import Piece
from projects.drafts import last_step, last_undone
from projects.drawing import Style, connection_labels, draw, draw_part
from projects.drawing.circuit import draw_circuit
from projects.edits import EDITS
from projects.forms.edit import EditForm
from projects.models import DraftStep, Project
from projects.said import say

__all__ = ["SECTIONS", "Editing", "Section"]


@dataclass(frozen=True)
class Editing:
    """A draft that is being edited: the document, the version that the page sees, the edits to undo and do again."""

    project: Project
    document: Document
    version: int
    step: DraftStep | None
    undone: DraftStep | None

    @classmethod
    def of(cls, project: Project) -> Editing:
        """The draft, or the newest revision, from which the next draft begins."""
        newest = project.newest()
        return cls(project, newest.read(), newest.layout_version, last_step(newest), last_undone(newest))

    def form(self, what: str, key: str = "", **initial: Any) -> EditForm:
        """A fresh form of an edit."""
        return EDITS[what](self.project, self.document, initial={"version": self.version, **initial}, key=key)


@dataclass(frozen=True)
class Section:
    """A page: its title, its template, and what it shows of a draft."""

    title: Any
    template: str
    context: Callable[[Editing], dict[str, Any]]


def _circuit(editing: Editing) -> dict[str, Any]:
    project, form = editing.document.project, editing.form
    types, labels = known_types(project), connection_labels(project)
    parts = [
        {
            "part": part,
            "type": types[part.type],
            "rename": form("rename-part", part.ref, part=part.ref, ref=part.ref),
            "remove": form("remove-part", part.ref, part=part.ref),
        }
        for part in project.parts
    ]
    connections = [
        {
            "connection": one,
            "label": labels[one.name],
            "terminals": [(terminal, form("take-out", terminal, terminal=terminal)) for terminal in one.terminals],
            "rename": form("rename-connection", one.name, connection=one.name, name=one.name),
            "remove": form("remove-connection", one.name, connection=one.name),
        }
        for one in project.connections
    ]
    controllers = [part.ref for part in project.parts if isinstance(types[part.type].model, Controller)]
    return {
        # The drawing is built as an element tree that escapes every text; nothing in it is raw.
        "drawing": mark_safe(draw_circuit(editing.document, style=Style(say=say))),
        "parts": parts,
        "connections": connections,
        "controllers": [(ref, form("pin-uses", ref, part=ref)) for ref in controllers],
        "add": form("add-part"),
        "change": form("change-type"),
        "join": form("join"),
    }


def _fabric(editing: Editing) -> dict[str, Any]:
    project, form = editing.document.project, editing.form
    bare = lay_out(editing.document.with_layout(Layout()))
    style = Style(say=say, grid=True)
    return {
        "pieces": [
            {
                "piece": piece,
                "size": _size(piece),
                "drawing": mark_safe(draw(bare, piece=piece.name, style=style)),
                "change": form("change-piece", piece.name, **_piece_values(piece)),
                "remove": form("remove-piece", piece.name, piece=piece.name),
            }
            for piece in project.pieces
        ],
        "faces": project.faces,
        "add": form("add-piece"),
        "facing": form("set-facing"),
        "crossing": form("seam-crossing"),
        "crossings": [part.ref for part in project.parts if part.type == "seam-crossing"],
    }


def _size(piece: Piece) -> tuple[float, float]:
    left, top, right, bottom = box_of(piece.outline)
    return right - left, bottom - top


def _piece_values(piece: Piece) -> dict[str, Any]:
    width, height = _size(piece)
    return {
        "piece": piece.name,
        "name": piece.name,
        "shape": "keep",
        "width": round(width, 2),
        "height": round(height, 2),
        "diameter": round(width, 2),
        "points": "\n".join(f"{x:g}, {y:g}" for x, y in piece.outline),
        "seam_allowance": piece.seam_allowance,
    }


def _part_types(editing: Editing) -> dict[str, Any]:
    project = editing.document.project
    used = {part.type for part in project.parts}
    style = Style(say=say)
    return {
        "own": [
            {
                "type": own,
                "drawing": mark_safe(draw_part(own, style=style)),
                "used": own.type in used,
                "remove": editing.form("remove-part-type", own.type, type=own.type),
            }
            for own in project.part_types
        ],
        "built_in": [(one, mark_safe(draw_part(one, style=style))) for one in catalogue().values()],
    }


def _learners(editing: Editing) -> dict[str, Any]:
    project = editing.document.project
    types = known_types(project)
    forms = [
        (part, types[part.type], editing.form("swaps", part.ref, part=part.ref, types=project.swaps.get(part.ref, ())))
        for part in project.parts
    ]
    return {
        "may": editing.form("learner-may", may=project.learner_may),
        "swaps": [row for row in forms if row[2].fields["types"].choices],  # type: ignore[attr-defined]
    }


def _supplies(editing: Editing) -> dict[str, Any]:
    project, form = editing.document.project, editing.form
    return {
        "title_form": form("title", title=project.title),
        "thread": form("thread", **project.thread.model_dump()),
        "distances": form("distances", spacing=project.spacing, contact=project.contact),
        "settings": form("settings", **project.settings.model_dump()),
        "supplies": [
            (
                supply,
                form("change-supply", str(n), number=n, **supply.model_dump()),
                form("remove-supply", str(n), number=n),
            )
            for n, supply in enumerate(project.supplies)
        ],
        "add": form("add-supply"),
    }


SECTIONS: Mapping[str, Section] = {
    "circuit": Section(_("Circuit"), "projects/circuit.html", _circuit),
    "fabric": Section(_("Fabric"), "projects/fabric.html", _fabric),
    "part-types": Section(_("Part types"), "projects/part_types.html", _part_types),
    "learners": Section(_("What learners may change"), "projects/learners.html", _learners),
    "supplies": Section(_("Thread and supplies"), "projects/supplies.html", _supplies),
}
