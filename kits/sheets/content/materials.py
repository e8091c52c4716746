"""The materials list: what one kit holds, thread by thread, and what the whole class takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kits.plan.values import Material, Plan
from kits.sheets.content.lengths import cut_length, spoken_metres, step_mm
from kits.sheets.content.values import Heading, Sheet, Units
from kits.supplies.class_needs import ClassNeed
from projects.circuit.document import Document
from projects.circuit.text import Message, msg

__all__ = ["ClassRow", "ClassTable", "ItemRow", "MaterialsList", "ThreadCut", "materials_list"]


@dataclass(frozen=True)
class ItemRow:
    """A part type or a supply in one kit: how many, its refs, and what it costs."""

    name: str
    refs: tuple[str, ...]
    amount: str
    unit: str
    price: str


@dataclass(frozen=True)
class ThreadCut:
    """One thread to cut: its number on the drawing, its connection, its length rounded up."""

    number: int
    connection: str
    cut: str


@dataclass(frozen=True)
class ClassRow:
    """What the class takes of one thing: the need, the spare on top, in what it is bought, how many, the price."""

    name: str
    need: str
    spare: str
    bought: Message
    packs: int
    price: str


@dataclass(frozen=True)
class ClassTable:
    """What `kits` kits take together, and what it costs in whole packs."""

    kits: int
    rows: tuple[ClassRow, ...]
    price: str


@dataclass(frozen=True)
class MaterialsList(Sheet):
    """All that stands on a materials list; prices are in the money that the project's prices are in."""

    parts: tuple[ItemRow, ...]
    threads: tuple[ThreadCut, ...]
    thread_in_all: str
    thread_price: str
    supplies: tuple[ItemRow, ...]
    price: str
    for_class: ClassTable | None


def materials_list(
    document: Document,
    plan: Plan,
    *,
    heading: Heading,
    units: Units = "cm",
    kits: int = 0,
    needs: Sequence[ClassNeed] = (),
) -> MaterialsList:
    """The materials list of one layout; with `needs`, also what `kits` kits take together.

    Cut lengths are rounded up one by one, so that their sum is what is really cut.
    """
    materials = plan.materials
    cuts = [math.ceil((run.cut_mm - 1e-6) / step_mm(units)) * step_mm(units) for run in plan.runs]
    return MaterialsList(
        heading=heading,
        parts=tuple(_item(material, units) for material in materials if material.kind == "part"),
        threads=tuple(
            ThreadCut(number, run.connection, cut_length(run.cut_mm, units)) for number, run in enumerate(plan.runs, 1)
        ),
        thread_in_all=spoken_metres(sum(cuts), units),
        thread_price=money(sum(material.price for material in materials if material.kind == "thread")),
        supplies=tuple(_item(material, units) for material in materials if material.kind == "supply"),
        price=money(sum(material.price for material in materials)),
        for_class=_class_table(kits, needs, units) if needs else None,
    )


def money(amount: float) -> str:
    """An amount of money with two decimals; the project names no currency."""
    return f"{amount:.2f}"


def _amount(amount: float) -> str:
    return f"{amount:.2f}".rstrip("0").rstrip(".")


def _item(material: Material, units: Units) -> ItemRow:
    amount, unit = _amount(material.amount), material.unit
    if units == "inch" and unit in _MM:
        amount, _, unit = cut_length(material.amount * _MM[unit], units).rpartition(" ")
    return ItemRow(material.name, material.refs, amount, unit, money(material.price))


_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


def _class_table(kits: int, needs: Sequence[ClassNeed], units: Units) -> ClassTable:
    rows = tuple(_class_row(need, units) for need in needs)
    return ClassTable(kits, rows, money(sum(need.price for need in needs)))


def _class_row(need: ClassNeed, units: Units) -> ClassRow:
    price = money(need.price)
    if need.kind == "thread":
        bought = msg("spool of {length}", length=spoken_metres(need.pack, units))
        amounts = (spoken_metres(need.needed, units), spoken_metres(need.spare, units))
        return ClassRow(need.name, *amounts, bought, need.packs, price)
    if need.kind == "part":
        bought = msg("pack of {number}", number=_amount(need.pack)) if need.pack > 1 else msg("one by one")
    else:
        bought = msg("{unit}", unit=need.unit)
    return ClassRow(need.name, _amount(need.needed), _amount(need.spare), bought, need.packs, price)
