"""What makes a part type sound: names that exist, two nodes where its model needs them, roles that agree."""

from __future__ import annotations

from shapely.geometry import Polygon as Shape

from projects.circuit.names import refuse_repeated, refuse_unknown
from projects.circuit.part_types import Cell, Controller, Led, Link, Pad, PartType, Polygon, Sensor, Switch
from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import msg

__all__ = ["check_part_type"]


def check_part_type(part_type: PartType, place: str) -> None:
    """Raise Refusal for the first thing that is wrong; `place` is where the part type stands in the file."""
    if isinstance(part_type.body, Polygon):
        shape = Shape(part_type.body.points)
        if not shape.is_valid or not shape.area > 0:
            raise Refusal(
                f"{place}.body.points", msg("the outline crosses or touches itself"), msg("a simple closed outline")
            )
    _check_names(part_type, place)
    _check_nodes(part_type, place)
    if isinstance(part_type.model, Cell | Led | Controller):
        _check_roles(part_type, place)


def _check_names(part_type: PartType, place: str) -> None:
    names = [terminal.name for terminal in part_type.terminals]
    refuse_repeated(names, f"{place}.terminals[*].name")
    for i, group in enumerate(part_type.joined):
        _known_once(group, names, f"{place}.joined[{i}]")
    model = part_type.model
    if isinstance(model, Switch):
        refuse_repeated([position.name for position in model.positions], f"{place}.model.positions[*].name")
        for i, position in enumerate(model.positions):
            for j, pair in enumerate(position.joins):
                _known_once(pair, names, f"{place}.model.positions[{i}].joins[{j}]")
    if isinstance(model, Sensor):
        refuse_repeated([level.name for level in model.levels], f"{place}.model.levels[*].name")


def _check_nodes(part_type: PartType, place: str) -> None:
    model = part_type.model
    if isinstance(model, Pad) and len(part_type.terminals) != 1:
        raise Refusal(
            f"{place}.terminals",
            msg("a pad with {n} terminals", n=len(part_type.terminals)),
            msg("one terminal on a pad"),
        )
    nodes = len(part_type.groups())
    if not isinstance(model, Controller | Link | Pad) and nodes != 2:
        raise Refusal(
            f"{place}.terminals",
            msg("{kind} has {n} nodes once joined terminals count as one", kind=quoted(model.kind), n=nodes),
            msg("exactly two nodes"),
        )


def _check_roles(part_type: PartType, place: str) -> None:
    """Positive and negative both there, never on one node, one role a node."""
    roles = {terminal.name: terminal.role for terminal in part_type.terminals}
    for names in part_type.groups():
        if len({roles[name] for name in names}) > 1:
            raise Refusal(
                f"{place}.joined",
                msg("{names} are joined, yet their roles differ", names=listed(names)),
                msg("one role for terminals that are joined"),
            )
    for role in ("positive", "negative"):
        if role not in roles.values():
            raise Refusal(
                f"{place}.terminals",
                msg("no terminal has the role {role}", role=role),
                msg("terminals with the roles positive and negative"),
            )


def _known_once(names: tuple[str, ...], known: list[str], place: str) -> None:
    for position, name in enumerate(names):
        refuse_unknown(name, known, f"{place}[{position}]", msg("terminal"))
    refuse_repeated(names, f"{place}[*]")
