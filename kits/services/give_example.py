"""Giving the project's example layout to kits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction

from kits.models import Event, Kit, Workshop
from kits.progress import KitState
from kits.services.access import Person
from kits.services.events import log
from kits.services.states import states_of_kits

__all__ = ["Given", "give_example"]


@dataclass(frozen=True)
class Given:
    """Numbers of the kits that got the example, of those that sew already, and of those with an own circuit."""

    given: tuple[int, ...]
    sewing: tuple[int, ...]
    own_circuit: tuple[int, ...]


def give_example(workshop: Workshop, kits: Iterable[Kit], person: Person) -> Given:
    """Put the example layout of its revision in place of each kit's own.

    Left alone: kits whose layout was accepted, and kits with a circuit of their own, which it may not fit.
    """
    given, sewing, own_circuit = [], [], []
    with transaction.atomic():
        chosen = workshop.kits.select_for_update(of=("self",)).select_related("revision")
        held = list(chosen.filter(pk__in=[kit.pk for kit in kits]).order_by("number"))
        states = states_of_kits(held)
        for kit in held:
            if states[kit.pk].sewing_begun:
                sewing.append(kit.number)
            elif kit.document is not None:
                own_circuit.append(kit.number)
            else:
                _give(kit, states[kit.pk], person)
                given.append(kit.number)
    return Given(tuple(given), tuple(sewing), tuple(own_circuit))


def _give(kit: Kit, state: KitState, person: Person) -> None:
    kit.layout = kit.revision.document.get("layout", {})
    kit.layout_version += 1
    kit.save(update_fields=["layout", "layout_version"])
    # What waited for a look is answered by this: nobody need look at it any more.
    waited = None
    if state.phase == "handed-in" and state.submission is not None:
        waited = kit.submissions.filter(pk=state.submission).first()
    log(kit, Event.Kind.LAYOUT_GIVEN, person.signs, submission=waited)
