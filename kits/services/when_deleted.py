"""What happens to the stock when a workshop is deleted, by whatever way: nothing stays set aside for it."""

from __future__ import annotations

from typing import Any

from django.db.models.signals import pre_delete
from django.dispatch import receiver

from kits.models import Workshop
from kits.services.reserve import release

__all__ = ["release_reserved"]


@receiver(pre_delete, sender=Workshop)
def release_reserved(instance: Workshop, **_signal: Any) -> None:
    """The movements stay, and lose only the name of the workshop."""
    release(instance, None)
