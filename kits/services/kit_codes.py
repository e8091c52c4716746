"""Replacing a kit's code, when a label was lost or seen by others."""

from __future__ import annotations

from kits.models import Kit
from kits.models.codes import new_code

__all__ = ["replace_code"]


def replace_code(kit: Kit) -> str:
    """Give the kit a new code and return it; the old one, and whoever joined with it, is out."""
    kit.code = new_code()
    kit.save(update_fields=["code"])
    return kit.code
