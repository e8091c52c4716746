"""Pieces of fabric: add, change, take away; which lie inside to inside; thread from one to the next."""

from __future__ import annotations

from projects.circuit.document import Document
from projects.circuit.editing.checked import with_project
from projects.circuit.editing.connections import set_connection
from projects.circuit.editing.layouts import with_piece_name, without_piece
from projects.circuit.editing.outlines import Outline, box_of
from projects.circuit.editing.parts import add_part
from projects.circuit.layout import Place
from projects.circuit.project import Piece, Project
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import msg

__all__ = ["add_pieces", "add_seam_crossing", "change_piece", "fresh_piece", "remove_piece", "set_facing"]

CROSSING = "seam-crossing"


def fresh_piece(project: Project, like: str) -> str:
    """A name for a piece that is still free: as asked, else with a number."""
    taken = {piece.name for piece in project.pieces}
    number, name = 1, like
    while name in taken:
        number += 1
        name = f"{like[:28]}-{number}"
    return name


def add_pieces(document: Document, name: str, outlines: tuple[Outline, ...], seam_allowance: float) -> Document:
    """One more piece an outline; the first by that name, the next with numbers."""
    for position, outline in enumerate(outlines):
        own = fresh_piece(document.project, name) if position else name
        piece = Piece.model_construct(name=own, outline=outline, seam_allowance=seam_allowance)
        document = with_project(document, pieces=(*document.project.pieces, piece))
    return document


def change_piece(
    document: Document, name: str, new_name: str, seam_allowance: float, outline: Outline | None = None
) -> Document:
    """The piece under another name, with another allowance or outline; what lies on it stays where it lies."""
    project = document.project
    _known(project, name)
    changes: dict[str, object] = {"name": new_name, "seam_allowance": seam_allowance}
    if outline is not None:
        changes["outline"] = outline
    pairs = tuple((_new(a, name, new_name), _new(b, name, new_name)) for a, b in project.faces)
    return with_project(
        document,
        layout=with_piece_name(document.layout, name, new_name),
        pieces=tuple(one.model_copy(update=changes) if one.name == name else one for one in project.pieces),
        faces=pairs,
    )


def remove_piece(document: Document, name: str) -> Document:
    """Without that piece and what lies on it; the parts stay in the circuit."""
    project = document.project
    _known(project, name)
    return with_project(
        document,
        layout=without_piece(document.layout, name),
        pieces=tuple(piece for piece in project.pieces if piece.name != name),
        faces=tuple(pair for pair in project.faces if name not in pair),
    )


def set_facing(document: Document, first: str, second: str, facing: bool) -> Document:
    """Whether two pieces (or one, folded) lie inside to inside, unlined, when the object is closed."""
    kept = tuple(pair for pair in document.project.faces if sorted(pair) != sorted((first, second)))
    return with_project(document, faces=(*kept, (first, second)) if facing else kept)


def add_seam_crossing(document: Document, first: str, second: str, connection: str = "") -> Document:
    """A seam crossing from one piece to another, its halves in the seam allowance of the facing edges.

    The halves lie at the right edge of the first and at the left edge of the second piece until they are moved.
    With a connection, both halves join it.
    """
    _known(document.project, first)
    _known(document.project, second)
    if first == second:
        raise Refusal("layout.places", msg("the thread would cross to the same piece"), msg("two pieces"))
    pieces = {piece.name: piece for piece in document.project.pieces}
    grown = add_part(document, CROSSING)
    ref = grown.project.parts[-1].ref
    places = []
    for piece, terminal, edge in ((pieces[first], "a", "right"), (pieces[second], "b", "left")):
        left, top, right, bottom = box_of(piece.outline)
        half = piece.seam_allowance / 2
        x = right - half if edge == "right" else left + half
        places.append(Place.model_construct(ref=ref, piece=piece.name, x=x, y=(top + bottom) / 2, terminal=terminal))
    layout = document.layout.model_copy(update={"places": (*document.layout.places, *places)})
    grown = with_project(grown, layout=layout)
    if not connection:
        return grown
    joined = next((one.terminals for one in grown.project.connections if one.name == connection), ())
    return set_connection(grown, connection, (*joined, f"{ref}.a", f"{ref}.b"))


def _new(name: str, old: str, new: str) -> str:
    return new if name == old else name


def _known(project: Project, name: str) -> None:
    names = [piece.name for piece in project.pieces]
    if name not in names:
        wrong = msg("there is no piece {name}", name=quoted(name))
        raise Refusal("project.pieces", wrong, msg("{names}", names=listed(names)))
