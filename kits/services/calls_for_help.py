"""Asking for help, and answering."""

from __future__ import annotations

from django.db import transaction

from kits.models import Event, Kit
from kits.services.access import Person
from kits.services.events import log
from kits.services.states import state_of_kit

__all__ = ["answer_help", "ask_for_help", "drop_help"]


def ask_for_help(kit: Kit, person: Person, about: str = "") -> None:
    """Put the kit in the queue; asking again keeps its place."""
    with transaction.atomic():
        if state_of_kit(kit).help_since is None:
            log(kit, Event.Kind.HELP_ASKED, person.signs, text=about)


def drop_help(kit: Kit, person: Person) -> None:
    """The learner needs no help any more."""
    _end(kit, person, Event.Kind.HELP_DROPPED)


def answer_help(kit: Kit, person: Person) -> None:
    """A teacher or helper has been there."""
    _end(kit, person, Event.Kind.HELP_GIVEN)


def _end(kit: Kit, person: Person, kind: Event.Kind) -> None:
    with transaction.atomic():
        if state_of_kit(kit).help_since is not None:
            log(kit, kind, person.signs)
