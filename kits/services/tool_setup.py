"""Which tools a workshop counts, and in which trays they lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import ToolCount, ToolKind, ToolTray, Workshop

__all__ = ["ToolRow", "TrayRow", "copy_tools", "save_tools", "usual_tools"]

KITS_A_TABLE = 4
"""Common practice, no published source; with the amounts below it serves four kits a table."""


@dataclass(frozen=True)
class ToolRow:
    """One kind as the page holds it; `pk` None for a new one."""

    pk: int | None
    name: str
    usual: int
    in_objects: bool
    in_use: bool


@dataclass(frozen=True)
class TrayRow:
    """One tray as the page holds it; `pk` None for a new one."""

    pk: int | None
    name: str
    in_use: bool


def usual_tools(workshop: Workshop, kits: int) -> None:
    """Give a new workshop the usual list, coin cells first, and a tray for every four kits."""
    usual = (
        (_("Coin cells"), 4, True),
        (_("Needles"), 4, False),
        (_("Scissors"), 2, False),
        (_("Seam rippers"), 1, False),
        (_("Meters"), 1, False),
    )
    ToolKind.objects.bulk_create(
        ToolKind(workshop=workshop, name=name, usual=amount, in_objects=cell, order=order)
        for order, (name, amount, cell) in enumerate(usual)
    )
    ToolTray.objects.bulk_create(
        ToolTray(workshop=workshop, name=_("Table {number}").format(number=number), order=number)
        for number in range(1, ceil(max(1, kits) / KITS_A_TABLE) + 1)
    )


def copy_tools(source: Workshop, target: Workshop) -> None:
    """The same kinds and trays for another workshop, those out of use left out."""
    ToolKind.objects.bulk_create(
        ToolKind(workshop=target, name=one.name, usual=one.usual, in_objects=one.in_objects, order=one.order)
        for one in source.tool_kinds.filter(in_use=True)
    )
    ToolTray.objects.bulk_create(
        ToolTray(workshop=target, name=one.name, order=one.order) for one in source.tool_trays.filter(in_use=True)
    )


def save_tools(workshop: Workshop, kinds: Sequence[ToolRow], trays: Sequence[TrayRow]) -> None:
    """Keep the lists as the page holds them, in its order. What is out of use and was never counted is deleted."""
    with transaction.atomic():
        there_kinds = {one.pk: one for one in workshop.tool_kinds.select_for_update()}
        for order, row in enumerate(kinds):
            kind = there_kinds.get(row.pk or 0) or ToolKind(workshop=workshop)
            kind.name, kind.usual, kind.in_objects, kind.in_use = row.name, row.usual, row.in_objects, row.in_use
            kind.order = order
            kind.save()
        there_trays = {one.pk: one for one in workshop.tool_trays.select_for_update()}
        for order, tray_row in enumerate(trays, 1):
            tray = there_trays.get(tray_row.pk or 0) or ToolTray(workshop=workshop)
            tray.name, tray.in_use, tray.order = tray_row.name, tray_row.in_use, order
            tray.save()
        counted = ToolCount.objects.filter(session__workshop=workshop)
        workshop.tool_kinds.filter(in_use=False).exclude(pk__in=counted.values("kind")).delete()
        workshop.tool_trays.filter(in_use=False).exclude(pk__in=counted.values("tray")).delete()
