"""What one kit needs: parts, thread and supplies, and its share of their price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kits.plan.batteries import kit_supplies
from kits.plan.values import Material, Run
from projects.circuit.catalogue import part_types_of
from projects.circuit.project import Project

__all__ = ["kit_materials"]


def kit_materials(project: Project, runs: Sequence[Run]) -> tuple[Material, ...]:
    """Parts by type in the project's order, the thread of all runs in mm, and the supplies of each kit, batteries too.

    Prices are shares: a part of its pack, the thread of its spool; a supply's price is for one unit.
    """
    return (*_parts(project), *_thread(project, runs), *_supplies(project))


def _parts(project: Project) -> Iterator[Material]:
    types = part_types_of(project)
    for name in dict.fromkeys(part.type for part in project.parts):
        refs = tuple(part.ref for part in project.parts if part.type == name)
        part_type = types[refs[0]]
        price = len(refs) * part_type.price / part_type.pack
        yield Material(part_type.name, "part", len(refs), "piece", price, refs, name)


def _thread(project: Project, runs: Sequence[Run]) -> Iterator[Material]:
    length_mm = sum(run.cut_mm for run in runs)
    if length_mm > 0:
        spool_mm = max(1.0, project.thread.spool_metres * 1000)  # so that the price of an absurd spool stays finite
        price = length_mm / spool_mm * project.thread.spool_price
        yield Material("conductive thread", "thread", length_mm, "mm", price)


def _supplies(project: Project) -> Iterator[Material]:
    for supply in kit_supplies(project):
        if supply.per == "kit":
            yield Material(supply.name, "supply", supply.amount, supply.unit, supply.amount * supply.price)
