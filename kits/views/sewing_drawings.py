"""Drawings beside a step: what is done, what is now, what comes next; and a closer look at where the step is."""

from __future__ import annotations

import re
from collections.abc import Iterable

from django.utils.safestring import mark_safe

from kits.plan.values import Step
from kits.services.sewing import Sewing
from kits.views.findings import Picture, pictures
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.layout import Side
from projects.drawing import Mark, Overlay
from projects.drawing.view import Box, view_of

__all__ = ["close_up", "overlay_of", "step_pictures"]

_AROUND_MM = 22.0
_LEAST_MM = 70.0
_WORTH_IT = 0.75
"""A closer look that shows more than this share of the piece's width or height is no closer look."""


def step_pictures(sewing: Sewing, step: Step | None) -> tuple[Picture, ...]:
    """The side that the step is about first; all of them where it is about no place."""
    laid_out = lay_out(sewing.document)
    drawn = pictures(laid_out, overlay_of(sewing, laid_out, step))
    piece = _piece(laid_out, step)
    about = [picture for picture in drawn if piece is None or picture.piece == piece]
    side = step.side if step is not None else None
    return tuple(sorted(about, key=lambda picture: side is not None and picture.side != side))


def close_up(sewing: Sewing, step: Step | None, whole: Iterable[Picture]) -> Picture | None:
    """The first picture again, as near as the step allows; None where the whole is near enough."""
    first = next(iter(whole), None)
    laid_out = lay_out(sewing.document)
    if step is None or first is None or _piece(laid_out, step) is None:
        return None
    points = [(spot.x, spot.y) for spot in step.at if spot.piece == first.piece]
    points += [point for course in laid_out.courses if course.name == step.line for point in course.points]
    box = _near(laid_out, first.piece, first.side, points) if points else None
    if box is None:
        return None
    # Our own drawing, escaped when it was built; only the window onto it changes.
    left, top, right, bottom = box
    svg = re.sub(r' (width|height)="[^"]*"', "", first.svg, count=2)
    shown = f'viewBox="{left:.1f} {top:.1f} {right - left:.1f} {bottom - top:.1f}"'
    return Picture(first.piece, first.side, mark_safe(re.sub(r'viewBox="[^"]*"', shown, svg, count=1)))


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
    if step.action == "sew":  # the line itself shows where
        return marks
    numbers = ("1", "2") if step.action == "read" else ("", "")
    here = [Mark(spot, "note", number) for spot, number in zip(step.at, numbers, strict=False) if spot not in ends]
    return [*marks, *here]


def _piece(laid_out: LaidOut, step: Step | None) -> str | None:
    if step is None:
        return None
    if step.line is not None:
        return next((course.piece for course in laid_out.courses if course.name == step.line), None)
    return step.at[0].piece if len({spot.piece for spot in step.at}) == 1 else None


def _near(laid_out: LaidOut, piece: str, side: Side, points: list[tuple[float, float]]) -> Box | None:
    """A window around these points, inside what the drawing shows."""
    view = view_of(laid_out, laid_out.pieces[piece], side)
    xs, ys = zip(*view.all(points), strict=True)
    left, right = _window(min(xs), max(xs), view.box[0], view.box[2])
    top, bottom = _window(min(ys), max(ys), view.box[1], view.box[3])
    wide, high = view.box[2] - view.box[0], view.box[3] - view.box[1]
    return (left, top, right, bottom) if max((right - left) / wide, (bottom - top) / high) <= _WORTH_IT else None


def _window(low: float, high: float, least: float, most: float) -> tuple[float, float]:
    size = max(high - low + 2 * _AROUND_MM, _LEAST_MM)
    start = min(max((low + high - size) / 2, least), max(least, most - size))
    return start, min(start + size, most)
