"""What the script of “I sewed it differently” needs: one piece as it is planned, to draw one of its lines anew."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext_lazy as _

from kits.views.layout_data import circuit_json, marks_json
from kits.views.layout_words import words
from projects.circuit.document import Document
from projects.drawing import Mark
from projects.stored import layout_json

__all__ = ["redraw_data"]

_WORDS = {
    "redraw_fabric": _("Cloth, {side}. Tab goes from hole to hole. Enter starts the line or ends it."),
    "redraw_start": _("Tap the metal hole where your line starts."),
    "redraw_done": _("Is that how you sewed it? If not, draw it again."),
    "steered": _("{x} mm from the left, {y} mm from the top. Space makes a bend here."),
}


def redraw_data(document: Document, line: str, marks: Iterable[Mark], *, seen: bool, typed: bool) -> dict[str, Any]:
    """The piece of that line, its other lines, and the words; `seen`: what was drawn has been checked;
    `typed`: it was told in words and numbers.
    """
    piece = next(one.piece for one in document.layout.lines if one.name == line)
    circuit, layout = circuit_json(document.project), layout_json(document.layout)
    here = {kind: [thing for thing in layout[kind] if thing["piece"] == piece] for kind in layout}
    used = {place["ref"] for place in here["places"]}
    parts = [part for part in circuit["parts"] if part["ref"] in used]
    types = {part["type"]: circuit["types"][part["type"]] for part in parts}
    return {
        **circuit,
        "pieces": [one for one in circuit["pieces"] if one["name"] == piece],
        "parts": parts,
        "types": types,
        "piece": piece,
        "line": line,
        "layout": here,
        "marks": [mark for mark in marks_json(marks) if mark["piece"] == piece],
        "seen": seen,
        "typed": typed,
        "words": {key: str(text) for key, text in {**words(), **_WORDS}.items()},
    }
