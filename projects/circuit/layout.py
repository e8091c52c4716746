"""A layout: where the parts lie, and the stitch lines between them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from projects.circuit.base import Coordinate, Name, Point, Value

__all__ = ["Cover", "End", "Join", "Layout", "Line", "Place", "Side"]

Side = Literal["outside", "inside"]
End = Annotated[
    str,
    StringConstraints(
        pattern=r"^(@[A-Za-z][A-Za-z0-9_-]{0,31}|[A-Za-z][A-Za-z0-9_-]{0,31}\.[A-Za-z][A-Za-z0-9_-]{0,31})$"
    ),
]
"""An end of a line: a terminal `B1.p1` or a join `@j1`."""


class Place(Value):
    """Where a part lies: its origin in mm, turned clockwise by `turn` degrees, on which side.

    With `terminal`, x and y place that one terminal of a link or switch by itself.
    """

    ref: Name
    piece: Name
    x: Coordinate
    y: Coordinate
    turn: Annotated[float, Field(ge=-1e6, le=1e6)] = 0.0
    side: Side = "outside"
    terminal: Name | None = None


class Join(Value):
    """A point where threads of one connection meet away from any terminal."""

    name: Name
    piece: Name
    x: Coordinate
    y: Coordinate


class Line(Value):
    """A stitch line from one end over `via` to the other: straight segments of running stitch."""

    name: Name
    piece: Name
    start: End = Field(alias="from")
    end: End = Field(alias="to")
    via: tuple[Point, ...] = Field(default=(), max_length=198, fail_fast=True)


class Cover(Value):
    """A scrap of fabric; within `radius` mm of it lines do not touch each other."""

    piece: Name
    x: Coordinate
    y: Coordinate
    radius: Annotated[float, Field(gt=0, le=10_000)] = 6.0


class Layout(Value):
    """Places, joins, lines and covers; all may be empty."""

    places: tuple[Place, ...] = Field(default=(), max_length=400, fail_fast=True)
    joins: tuple[Join, ...] = Field(default=(), max_length=1000, fail_fast=True)
    lines: tuple[Line, ...] = Field(default=(), max_length=1000, fail_fast=True)
    covers: tuple[Cover, ...] = Field(default=(), max_length=1000, fail_fast=True)
