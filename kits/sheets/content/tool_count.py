"""The tool count on paper: a table a tray, what is counted out and back, and what closes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kits.sheets.content.values import Heading, Sheet

__all__ = ["CountRow", "ToolCountSheet", "TrayRows", "tool_count_sheet"]


@dataclass(frozen=True)
class CountRow:
    """One kind: how many usually lie there, and what was counted; None prints a blank. `home`: in which kits."""

    name: str
    usual: int
    out: int | None
    back: int | None
    in_objects: bool
    home: tuple[int, ...] = ()


@dataclass(frozen=True)
class TrayRows:
    """One tray."""

    name: str
    rows: tuple[CountRow, ...]


@dataclass(frozen=True)
class ToolCountSheet(Sheet):
    """All that stands on a tool count; `totals` are the kinds over all trays."""

    day: str
    trays: tuple[TrayRows, ...]
    totals: tuple[CountRow, ...]
    closed: str
    short: int
    reason: str


def tool_count_sheet(
    heading: Heading,
    trays: Sequence[TrayRows],
    *,
    day: str,
    closed: str = "",
    short: int = 0,
    reason: str = "",
) -> ToolCountSheet:
    """The count of one session; `closed` says when it was closed, empty while it is open."""
    names = list(dict.fromkeys(row.name for tray in trays for row in tray.rows))
    return ToolCountSheet(
        heading=heading,
        day=day,
        trays=tuple(trays),
        totals=tuple(_total([row for tray in trays for row in tray.rows if row.name == name]) for name in names),
        closed=closed,
        short=short,
        reason=reason,
    )


def _total(rows: Sequence[CountRow]) -> CountRow:
    return CountRow(
        rows[0].name,
        sum(row.usual for row in rows),
        _sum([row.out for row in rows]),
        _sum([row.back for row in rows]),
        rows[0].in_objects,
        tuple(sorted(number for row in rows for number in row.home)),
    )


def _sum(amounts: Sequence[int | None]) -> int | None:
    known = [one for one in amounts if one is not None]
    return sum(known) if known else None
