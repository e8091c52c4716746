"""Rows of a list of the document, by number from 0; a number without a row is refused, since a page may be old."""

from __future__ import annotations

from typing import TypeVar

from projects.circuit.refusal import Refusal
from projects.circuit.text import msg

__all__ = ["replaced", "row_at", "without"]

Row = TypeVar("Row")


def row_at(rows: tuple[Row, ...], number: int, place: str) -> Row:
    """The row at that number; Refusal where there is none."""
    if not 0 <= number < len(rows):
        raise Refusal(
            f"{place}[{number}]", msg("there is no such row any more"), msg("0 to {last}", last=len(rows) - 1)
        )
    return rows[number]


def replaced(rows: tuple[Row, ...], number: int, row: Row, place: str) -> tuple[Row, ...]:
    """The rows with another one at that number."""
    row_at(rows, number, place)
    return (*rows[:number], row, *rows[number + 1 :])


def without(rows: tuple[Row, ...], number: int, place: str) -> tuple[Row, ...]:
    """The rows without the one at that number."""
    row_at(rows, number, place)
    return (*rows[:number], *rows[number + 1 :])
