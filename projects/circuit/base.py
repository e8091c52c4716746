"""What every value of the project file shares: frozen, strict, nothing unknown."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

__all__ = ["MAX_COORDINATE", "Coordinate", "Name", "NotNegative", "Point", "Positive", "Ref", "Text", "Value"]

MAX_COORDINATE = 10_000.0
_PLAIN = r"^[^\x00-\x1f\x7f]*$"
_NAME = r"^[A-Za-z][A-Za-z0-9_-]{0,31}$"

Name = Annotated[str, StringConstraints(pattern=_NAME)]
"""A name of the file's own: a letter, then up to 31 letters, digits, `_` or `-`."""

Ref = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_-]{0,31}\.[A-Za-z][A-Za-z0-9_-]{0,31}$")]
"""A terminal, written `B1.p1`: part ref, dot, terminal name."""

Text = Annotated[str, StringConstraints(max_length=200, pattern=_PLAIN)]
"""Free text for people on one line, without control characters."""

Positive = Annotated[float, Field(gt=0, le=1e12)]
NotNegative = Annotated[float, Field(ge=0, le=1e12)]
Coordinate = Annotated[float, Field(ge=-MAX_COORDINATE, le=MAX_COORDINATE)]
"""Millimetres; the file refuses more than ten metres."""

Point = tuple[Coordinate, Coordinate]
"""(x, y) in millimetres, x right, y down."""


class Value(BaseModel):
    """A frozen value of the project file; unknown keys, NaN and infinity are refused."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        populate_by_name=True,
        serialize_by_alias=True,
    )
