"""The strip of small pictures on a step sheet: one for each kind of hand movement that its plan asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kits.plan.values import Action, PlannedStage, Step
from projects.circuit.text import Message, msg
from projects.drawing.hands import Hand, Movement, draw_movement

__all__ = ["MovementPicture", "movement_number", "movement_pictures"]

_OF_ACTION: Mapping[Action, Movement] = {
    "knot": "knot",
    "anchor": "rim",
    "pass": "rim",
    "sew": "running",
    "tie": "tie",
    "trim": "trim",
    "cover": "cover",
}
_ORDER: tuple[Movement, ...] = ("knot", "rim", "running", "tie", "trim", "cover")
_CAPTIONS: Mapping[Movement, Message] = {
    "rim": msg("Three tight stitches over the rim"),
    "running": msg("Short stitches, in and out"),
    "tie": msg("Two loops under the last stitch"),
    "trim": msg("Cut the tail short"),
    "cover": msg("Go over the cover in one stitch"),
}


@dataclass(frozen=True)
class MovementPicture:
    """One picture: the number that steps refer to, the drawing as SVG, and what it shows."""

    number: int
    movement: Movement
    svg: str
    caption: Message


def movement_pictures(
    stages: Sequence[PlannedStage], *, strands: int, left_handed: bool = False
) -> tuple[MovementPicture, ...]:
    """A picture for each movement that these stages ask for, numbered in the order in which a thread needs them."""
    hand: Hand = "left" if left_handed else "right"
    asked = {_movement(step) for stage in stages for step in stage.steps}
    return tuple(
        MovementPicture(number, movement, draw_movement(movement, hand, strands=strands), _caption(movement, strands))
        for number, movement in enumerate((one for one in _ORDER if one in asked), 1)
    )


def movement_number(step: Step, shown: Sequence[MovementPicture]) -> int | None:
    """The number of the picture that shows what a step asks the hand to do."""
    movement = _movement(step)
    return next((picture.number for picture in shown if picture.movement == movement), None)


def _movement(step: Step) -> Movement | None:
    if step.action in ("anchor", "pass") and step.terminal is None:
        return None  # at a join or a bend there is no rim
    return _OF_ACTION.get(step.action)


def _caption(movement: Movement, strands: int) -> Message:
    if movement != "knot":
        return _CAPTIONS[movement]
    return msg("Knot one end") if strands == 1 else msg("Fold, then knot the ends as one")
