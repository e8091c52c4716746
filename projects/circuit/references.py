"""What a project file may not say although each value in it is sound: names that fail, outlines, values at odds."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shapely.geometry import Polygon as Shape

from projects.circuit.catalogue import catalogue
from projects.circuit.document import Document
from projects.circuit.fabric import can_stand_apart
from projects.circuit.layout import Layout
from projects.circuit.names import refuse_repeated, refuse_unknown
from projects.circuit.part_type_rules import check_part_type
from projects.circuit.part_types import Cell, PartType
from projects.circuit.project import LAYOUT_STAGE, Piece, Project
from projects.circuit.refusal import Refusal, listed, place_of, quoted
from projects.circuit.text import msg

__all__ = ["check_references"]

Types = Mapping[str, PartType]


def check_references(document: Document) -> None:
    """Raise Refusal for the first thing that is repeated, does not exist or cannot be."""
    project = document.project
    _check_pieces(project.pieces)
    _check_faces(project)
    if project.contact > project.spacing:
        raise Refusal(
            "project.contact",
            msg("{value} is more than spacing", value=quoted(project.contact)),
            msg("at most {spacing} (spacing)", spacing=quoted(project.spacing)),
        )
    refuse_repeated((own.type for own in project.part_types), "project.part_types[*].type")
    for position, own in enumerate(project.part_types):
        check_part_type(own, f"project.part_types[{position}]")
    known = {**catalogue(), **{own.type: own for own in project.part_types}}
    types = _check_parts(project, known)
    _check_circuit(project, types, known)
    _check_stages(project)
    _check_layout(document.layout, types, [piece.name for piece in project.pieces])


def _check_pieces(pieces: tuple[Piece, ...]) -> None:
    refuse_repeated((piece.name for piece in pieces), "project.pieces[*].name")
    for position, piece in enumerate(pieces):
        place = f"project.pieces[{position}].outline"
        shape = Shape(piece.outline)
        if not shape.is_valid or not shape.area > 0:
            raise Refusal(place, msg("the outline crosses or touches itself"), msg("a simple closed outline"))
        if shape.buffer(-piece.seam_allowance, join_style="mitre").is_empty:
            raise Refusal(
                place,
                msg("nothing is left inside the seam allowance"),
                msg("an outline with room inside {mm} mm of allowance", mm=quoted(piece.seam_allowance)),
            )


def _check_faces(project: Project) -> None:
    names = dict.fromkeys(piece.name for piece in project.pieces)
    for i, pair in enumerate(project.faces):
        for j, name in enumerate(pair):
            refuse_unknown(name, names, f"project.faces[{i}][{j}]", msg("piece"))
    refuse_repeated((" and ".join(sorted(pair)) for pair in project.faces), "project.faces[*]")


def _check_parts(project: Project, known: Types) -> Types:
    """Part types by part ref, once refs and types are known to be sound."""
    refuse_repeated((part.ref for part in project.parts), "project.parts[*].ref")
    cell: str | None = None
    for position, part in enumerate(project.parts):
        refuse_unknown(part.type, known, f"project.parts[{position}].type", msg("part type"))
        if not isinstance(known[part.type].model, Cell):
            continue
        if cell is not None:
            raise Refusal(
                f"project.parts[{position}].type",
                msg("{ref} is a second cell, beside {cell}", ref=part.ref, cell=cell),
                msg("one cell in a circuit"),
            )
        cell = part.ref
    return {part.ref: known[part.type] for part in project.parts}


def _check_circuit(project: Project, types: Types, known: Types) -> None:
    for pin in project.pins:
        _terminal_exists(pin, types, place_of(["project", "pins", pin]))
    refuse_repeated((connection.name for connection in project.connections), "project.connections[*].name")
    for position, connection in enumerate(project.connections):
        place = f"project.connections[{position}].terminals"
        refuse_repeated(connection.terminals, f"{place}[*]")
        for i, terminal in enumerate(connection.terminals):
            _terminal_exists(terminal, types, f"{place}[{i}]")
    for ref, swaps in project.swaps.items():
        place = place_of(["project", "swaps", ref])
        refuse_unknown(ref, types, place, msg("part"))
        refuse_repeated(swaps, f"{place}[*]")
        for i, name in enumerate(swaps):
            refuse_unknown(name, known, f"{place}[{i}]", msg("part type"))


def _check_stages(project: Project) -> None:
    refuse_repeated((stage.name for stage in project.stages), "project.stages[*].name")
    connections = dict.fromkeys(connection.name for connection in project.connections)
    for position, stage in enumerate(project.stages):
        place = f"project.stages[{position}].connections"
        refuse_repeated(stage.connections, f"{place}[*]")
        for i, name in enumerate(stage.connections):
            refuse_unknown(name, connections, f"{place}[{i}]", msg("connection"))
    # Without stages of its own a project uses those that the plan makes, so their names are not known here.
    if project.stages:
        names = [LAYOUT_STAGE, *(stage.name for stage in project.stages)]
        for position, criterion in enumerate(project.criteria):
            refuse_unknown(criterion.stage, names, f"project.criteria[{position}].stage", msg("stage"))


def _check_layout(layout: Layout, types: Types, pieces: Collection[str]) -> None:
    _check_places(layout, types, pieces)
    refuse_repeated((join.name for join in layout.joins), "layout.joins[*].name")
    refuse_repeated((line.name for line in layout.lines), "layout.lines[*].name")
    joins = dict.fromkeys(join.name for join in layout.joins)
    for i, join in enumerate(layout.joins):
        refuse_unknown(join.piece, pieces, f"layout.joins[{i}].piece", msg("piece"))
    for i, line in enumerate(layout.lines):
        refuse_unknown(line.piece, pieces, f"layout.lines[{i}].piece", msg("piece"))
        for key, end in (("from", line.start), ("to", line.end)):
            if end.startswith("@"):
                refuse_unknown(end[1:], joins, f"layout.lines[{i}].{key}", msg("join"))
            else:
                _terminal_exists(end, types, f"layout.lines[{i}].{key}")
    for i, cover in enumerate(layout.covers):
        refuse_unknown(cover.piece, pieces, f"layout.covers[{i}].piece", msg("piece"))


def _check_places(layout: Layout, types: Types, pieces: Collection[str]) -> None:
    whole: dict[str, bool] = {}
    for i, place in enumerate(layout.places):
        here = f"layout.places[{i}]"
        refuse_unknown(place.ref, types, f"{here}.ref", msg("part"))
        refuse_unknown(place.piece, pieces, f"{here}.piece", msg("piece"))
        if place.terminal is not None:
            _terminal_exists(f"{place.ref}.{place.terminal}", types, f"{here}.terminal")
            if not can_stand_apart(types[place.ref]):
                raise Refusal(
                    f"{here}.terminal",
                    msg("{ref} cannot be placed terminal by terminal", ref=place.ref),
                    msg("only links and switches have places by terminal"),
                )
        if whole.setdefault(place.ref, place.terminal is None) != (place.terminal is None):
            raise Refusal(
                f"{here}.ref",
                msg("{ref} is placed both whole and by terminal", ref=place.ref),
                msg("one place for the whole part, or one for each terminal"),
            )
    refuse_repeated(
        (place.ref if place.terminal is None else f"{place.ref}.{place.terminal}" for place in layout.places),
        "layout.places[*].ref",
    )


def _terminal_exists(terminal: str, types: Types, place: str) -> None:
    ref, _, name = terminal.partition(".")
    refuse_unknown(ref, types, place, msg("part"))
    names = [known.name for known in types[ref].terminals]
    if name not in names:
        raise Refusal(
            place,
            msg("{ref} has no terminal {name}", ref=ref, name=quoted(name)),
            msg("{names}", names=listed(f"{ref}.{known}" for known in names)),
        )
