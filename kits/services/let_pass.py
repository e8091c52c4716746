"""Letting a finding pass."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from kits.models import Event, Kit, LetPass
from kits.services.access import Person
from kits.services.events import log
from kits.services.layouts import NotNow
from kits.services.reports import NEVER_LET_PASS

__all__ = ["let_pass", "take_back_let_pass"]


def let_pass(kit: Kit, finding: str, reason: str, person: Person) -> None:
    """This finding, by its key, does not hold the kit up, and why. Raises NotNow for a dead short."""
    if finding.partition("|")[0] in NEVER_LET_PASS:
        raise NotNow(_("A short circuit of the battery never passes: the thread can burn. It must be put right."))
    with transaction.atomic():
        LetPass.objects.update_or_create(kit=kit, finding=finding, defaults={"reason": reason, "by": person.user})
        log(kit, Event.Kind.LET_PASS, person.signs, text=reason)


def take_back_let_pass(kit: Kit, finding: str) -> None:
    """The finding holds the kit up again."""
    kit.let_passes.filter(finding=finding).delete()
