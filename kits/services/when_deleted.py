"""What goes along when a row is deleted, by whatever way: what is set aside for a workshop, the file of a photo."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.db.models.signals import post_delete, pre_delete
from django.dispatch import receiver

from kits.models import Photo, Workshop
from kits.services.reserve import release

__all__ = ["delete_file", "release_reserved"]


@receiver(pre_delete, sender=Workshop)
def release_reserved(instance: Workshop, **_signal: Any) -> None:
    """The movements stay, and lose only the name of the workshop."""
    release(instance, None)


@receiver(post_delete, sender=Photo)
def delete_file(instance: Photo, **_signal: Any) -> None:
    """Once it is certain that the row is gone."""
    file = instance.file
    transaction.on_commit(lambda: file.delete(save=False))
