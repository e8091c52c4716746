"""Drawings beside a step: what is done, what is now, what comes next; only the piece and side it is about."""

from __future__ import annotations

from kits.plan.values import Step
from kits.services.sewing import Sewing
from kits.views.findings import Picture, pictures
from projects.circuit.fabric import LaidOut, lay_out
from projects.drawing import Mark, Overlay

__all__ = ["overlay_of", "step_pictures"]


def step_pictures(sewing: Sewing, step: Step | None) -> tuple[Picture, ...]:
    """The side that the step is about first; all of them where it is about no place."""
    laid_out = lay_out(sewing.document)
    drawn = pictures(laid_out, overlay_of(sewing, laid_out, step))
    piece = _piece(laid_out, step)
    about = [picture for picture in drawn if piece is None or picture.piece == piece]
    side = step.side if step is not None else None
    return tuple(sorted(about, key=lambda picture: side is not None and picture.side != side))


def overlay_of(sewing: Sewing, laid_out: LaidOut, step: Step | None) -> Overlay:
    """Lines by their state; a flag where the thread starts, a bar where it ends, a ring where the step is."""
    states = dict(sewing.progress.line_states)
    if step is not None and step.line is not None and states.get(step.line) != "done":
        states[step.line] = "now"
    return Overlay(marks=tuple(_marks(sewing, laid_out, step)), line_states=states)


def _marks(sewing: Sewing, laid_out: LaidOut, step: Step | None) -> list[Mark]:
    if step is None:
        return []
    run = next((one for one in sewing.progress.plan.runs if one.name == step.run), None)
    ends = [laid_out.spots.get(run.terminals[at]) for at in (0, -1)] if run is not None else [None, None]
    marks = [Mark(spot, kind) for spot, kind in zip(ends, ("start", "end"), strict=True) if spot is not None]  # type: ignore[arg-type]
    here = [Mark(spot, "note") for spot in step.at if spot not in ends]
    return [*marks, *here]


def _piece(laid_out: LaidOut, step: Step | None) -> str | None:
    if step is None:
        return None
    if step.line is not None:
        return next((course.piece for course in laid_out.courses if course.name == step.line), None)
    return step.at[0].piece if len({spot.piece for spot in step.at}) == 1 else None
