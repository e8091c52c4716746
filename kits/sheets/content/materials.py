"""The materials list: what one kit holds, thread by thread, and what the whole class takes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from kits.plan.values import Material, Plan
from kits.sheets.content.lengths import cut_length, spoken_metres, step_mm
from kits.sheets.content.values import Heading, Units
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.project import Project, Supply
from projects.circuit.text import Message, msg

__all__ = ["ClassNeed", "ClassRow", "ItemRow", "MaterialsList", "ThreadCut", "materials_list"]


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
    """What the class takes of one thing: the need, in what it is bought, how many of those, and what they cost."""

    name: str
    need: str
    bought: Message
    packs: int
    price: str


@dataclass(frozen=True)
class ClassNeed:
    """What `kits` kits for `learners` learners take, without spares, and what it costs in whole packs."""

    kits: int
    learners: int
    rows: tuple[ClassRow, ...]
    price: str


@dataclass(frozen=True)
class MaterialsList:
    """All that stands on a materials list; prices are in the money that the project's prices are in."""

    heading: Heading
    parts: tuple[ItemRow, ...]
    threads: tuple[ThreadCut, ...]
    thread_in_all: str
    thread_price: str
    supplies: tuple[ItemRow, ...]
    price: str
    for_class: ClassNeed | None


def materials_list(
    document: Document,
    plan: Plan,
    *,
    heading: Heading,
    units: Units = "cm",
    kits: int | None = None,
    learners: int | None = None,
) -> MaterialsList:
    """The materials list of one layout; with `kits`, also what that many such kits take.

    `learners`: how many they are for, one a kit unless said. Cut lengths are rounded up one by one, so that
    their sum is what is really cut.
    """
    materials = plan.materials
    cuts = [math.ceil((run.cut_mm - 1e-6) / step_mm(units)) * step_mm(units) for run in plan.runs]
    need = None if kits is None else _class_need(lay_out(document), materials, sum(cuts), units, kits, learners or kits)
    return MaterialsList(
        heading=heading,
        parts=tuple(_item(material) for material in materials if material.kind == "part"),
        threads=tuple(
            ThreadCut(number, run.connection, cut_length(run.cut_mm, units)) for number, run in enumerate(plan.runs, 1)
        ),
        thread_in_all=spoken_metres(sum(cuts), units),
        thread_price=money(sum(material.price for material in materials if material.kind == "thread")),
        supplies=tuple(_item(material) for material in materials if material.kind == "supply"),
        price=money(sum(material.price for material in materials)),
        for_class=need,
    )


def money(amount: float) -> str:
    """An amount of money with two decimals; the project names no currency."""
    return f"{amount:.2f}"


def _amount(amount: float) -> str:
    return f"{amount:.2f}".rstrip("0").rstrip(".")


def _item(material: Material) -> ItemRow:
    return ItemRow(material.name, material.refs, _amount(material.amount), material.unit, money(material.price))


def _class_need(
    laid_out: LaidOut, materials: Iterable[Material], cut_mm: float, units: Units, kits: int, learners: int
) -> ClassNeed:
    project = laid_out.project
    bought = [_parts_bought(laid_out, material, kits) for material in materials if material.kind == "part"]
    bought.append(_thread_bought(project, cut_mm * kits, units))
    bought += [_supply_bought(supply, kits, learners) for supply in project.supplies]
    return ClassNeed(kits, learners, tuple(row for row, _ in bought), money(sum(price for _, price in bought)))


def _parts_bought(laid_out: LaidOut, material: Material, kits: int) -> tuple[ClassRow, float]:
    part_type = laid_out.types[material.refs[0]]
    need = round(material.amount) * kits
    packs = math.ceil(need / part_type.pack)
    words = msg("pack of {number}", number=part_type.pack) if part_type.pack > 1 else msg("one by one")
    price = packs * part_type.price
    return ClassRow(material.name, str(need), words, packs, money(price)), price


def _thread_bought(project: Project, cut_mm: float, units: Units) -> tuple[ClassRow, float]:
    spool_mm = project.thread.spool_metres * 1000
    spools = math.ceil(cut_mm / spool_mm - 1e-9)
    price = spools * project.thread.spool_price
    words = msg("spool of {length}", length=spoken_metres(spool_mm, units))
    return ClassRow("conductive thread", spoken_metres(cut_mm, units), words, spools, money(price)), price


def _supply_bought(supply: Supply, kits: int, learners: int) -> tuple[ClassRow, float]:
    amount = supply.amount * {"kit": kits, "learner": learners, "workshop": 1}[supply.per]
    price = amount * supply.price
    packs = math.ceil(amount - 1e-9)
    return ClassRow(supply.name, _amount(amount), msg("{unit}", unit=supply.unit), packs, money(price)), price
