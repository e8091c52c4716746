"""All situations in a few rows: those that look alike are one row, named by what it takes to get there.

Situations look alike where each part works alike. They make one row only if what they have in common says all:
every situation with those choices is among them. So "S1 off" may stand for eight situations that are all dark.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from checks.findings import Situation
from checks.shine import AtWork, Shine, choices_of, working_parts
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell

__all__ = ["PartRow", "Span", "SummaryRow", "summary"]


@dataclass(frozen=True)
class Span:
    """Least and most of a figure over the situations of a row."""

    least: float
    most: float


@dataclass(frozen=True)
class PartRow:
    """How a part works with a fresh cell: amps through it, volts across it; and how with a used one."""

    ref: str
    shine: Shine
    amps: Span
    volts: Span | None
    used_shine: tuple[Shine, ...]
    used_amps: Span | None


@dataclass(frozen=True)
class SummaryRow:
    """Situations that look alike: what they have in common, each part, amps out of the cell, least hours it lasts."""

    choices: Mapping[str, str]
    parts: tuple[PartRow, ...]
    cell_amps: Span | None
    hours: float | None


@dataclass(frozen=True)
class _Seen:
    choices: dict[str, str]
    fresh: Situation
    parts: tuple[AtWork, ...]
    used: tuple[AtWork, ...]


def summary(laid_out: LaidOut, situations: Sequence[Situation]) -> tuple[SummaryRow, ...]:
    """Rows in the order in which their first situation comes; situations without a solution are left out."""
    seen = list(_seen(laid_out, situations))
    alike: dict[tuple[Shine, ...], list[_Seen]] = {}
    for one in seen:
        alike.setdefault(tuple(part.shine for part in one.parts), []).append(one)
    groups = [group for some in alike.values() for group in _nameable(some, seen)]
    groups.sort(key=lambda group: seen.index(group[0]))
    return tuple(_row(laid_out, group) for group in groups)


def _seen(laid_out: LaidOut, situations: Sequence[Situation]) -> Iterator[_Seen]:
    used = {tuple(choices_of(one.name).items()): one for one in situations if one.cell == "used"}
    for fresh in situations:
        if fresh.cell == "fresh" and fresh.amps:
            choices = choices_of(fresh.name)
            old = used.get(tuple(choices.items()))
            old_parts = tuple(working_parts(laid_out, old)) if old is not None else ()
            yield _Seen(choices, fresh, tuple(working_parts(laid_out, fresh)), old_parts)


def _nameable(alike: list[_Seen], everything: list[_Seen]) -> Iterator[list[_Seen]]:
    """As few groups as the choices allow, each of them all that has its common choices."""
    common = _common(alike)
    if len(alike) == sum(common.items() <= one.choices.items() for one in everything):
        yield alike
        return
    name = next((name for name in alike[0].choices if name not in common), None)
    if name is None:
        yield alike
        return
    parted: dict[str, list[_Seen]] = {}
    for one in alike:
        parted.setdefault(one.choices[name], []).append(one)
    for some in parted.values():
        yield from _nameable(some, everything)


def _common(group: list[_Seen]) -> dict[str, str]:
    first = group[0].choices
    return {name: choice for name, choice in first.items() if all(one.choices[name] == choice for one in group)}


def _row(laid_out: LaidOut, group: list[_Seen]) -> SummaryRow:
    parts = tuple(_part(index, group) for index in range(len(group[0].parts)))
    cell = next((p.ref for p in laid_out.project.parts if isinstance(laid_out.types[p.ref].model, Cell)), None)
    amps = _span([one.fresh.amps[cell] for one in group]) if cell is not None else None
    lasts = [one.fresh.hours for one in group if one.fresh.hours is not None]
    return SummaryRow(_common(group), parts, amps, min(lasts, default=None))


def _part(index: int, group: list[_Seen]) -> PartRow:
    fresh = [one.parts[index] for one in group]
    used = [one.used[index] for one in group if one.used]
    return PartRow(
        fresh[0].ref,
        fresh[0].shine,
        _span([part.amps for part in fresh]),
        _maybe_span([part.volts for part in fresh]),
        tuple(dict.fromkeys(part.shine for part in used)),
        _span([part.amps for part in used]) if used else None,
    )


def _span(figures: Sequence[float]) -> Span:
    return Span(min(figures), max(figures))


def _maybe_span(figures: Sequence[float | None]) -> Span | None:
    known = [abs(figure) for figure in figures if figure is not None]
    return _span(known) if known else None
