"""Who is in the class, and who makes which kit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction

from kits.models import Kit, KitLearner, Learner, Workshop

__all__ = ["Added", "add_learners", "assign_learners"]


@dataclass(frozen=True)
class Added:
    """What came of adding names: those added, those that were there already, those without a kit yet."""

    added: tuple[str, ...]
    known: tuple[str, ...]
    without_kit: tuple[str, ...]


def add_learners(workshop: Workshop, names: Sequence[str]) -> Added:
    """Add these names and give each the next kit that nobody has, spares left out."""
    with transaction.atomic():
        there = {name.casefold() for name in workshop.learners.values_list("display_name", flat=True)}
        fresh: list[str] = []
        known: list[str] = []
        for name in names:
            (known if name.casefold() in there else fresh).append(name)
            there.add(name.casefold())
        learners = [Learner.objects.create(workshop=workshop, display_name=name) for name in fresh]
        free = list(workshop.kits.filter(kitlearner=None, spare=False).order_by("number").only("pk"))
        pairs = list(zip(free, learners, strict=False))
        KitLearner.objects.bulk_create(KitLearner(kit=kit, learner=learner) for kit, learner in pairs)
    return Added(tuple(fresh), tuple(known), tuple(fresh[len(pairs) :]))


def assign_learners(workshop: Workshop, kit_of: Mapping[Learner, Kit | None], left_handed: set[int]) -> None:
    """Say anew who makes which kit (None: no kit yet), and whose ids are left-handed.

    Learners and kits must be of this workshop.
    """
    with transaction.atomic():
        KitLearner.objects.filter(learner__in=kit_of).delete()
        KitLearner.objects.bulk_create(
            KitLearner(kit=kit, learner=learner) for learner, kit in kit_of.items() if kit is not None
        )
        learners = workshop.learners.filter(pk__in=[learner.pk for learner in kit_of])
        learners.filter(pk__in=left_handed).update(left_handed=True)
        learners.exclude(pk__in=left_handed).update(left_handed=False)
