"""Replacing a kit's code, when a label was lost or seen by others."""

from __future__ import annotations

from kits.models import Kit, Workshop
from kits.models.codes import new_code

__all__ = ["replace_code", "replace_codes"]


def replace_code(kit: Kit) -> str:
    """Give the kit a new code and return it; the old one, and whoever joined with it, is out."""
    kit.code = new_code()
    kit.save(update_fields=["code"])
    return kit.code


def replace_codes(workshop: Workshop) -> None:
    """Give every kit of a workshop a new code; all old ones, and whoever joined with them, are out."""
    kits = list(workshop.kits.only("pk"))
    for kit in kits:
        kit.code = new_code()
    Kit.objects.bulk_update(kits, ["code"])
