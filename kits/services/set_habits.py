"""What a class's teacher sets otherwise than usual."""

from __future__ import annotations

from dataclasses import replace

from kits.models import Workshop
from kits.plan.habits import habits_to
from kits.services.kit_needs import habits_of

__all__ = ["set_waste_and_spares"]


def set_waste_and_spares(workshop: Workshop, waste_share: float, sure_share: float) -> None:
    """The share of thread lost in class, and how sure it must be that the spare parts suffice."""
    habits = replace(habits_of(workshop), waste_share=waste_share, sure_share=sure_share)
    workshop.habits = habits_to(habits)
    workshop.save(update_fields=["habits"])
