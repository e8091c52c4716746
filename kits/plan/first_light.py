"""A first light before all is sewn: the cell goes in for a moment as soon as a loop is closed.

Off by default (`Habits.first_light`): the cell goes in only after a look, and by default there are but two looks, the
layout before the needle and the circuit before the cell. Where a teacher sets it, one stage more comes right after
the thread that closes the loop, with a look of its own, in the order of the test: measure, look, cell in, cell out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

from checks.facts import Facts
from checks.situations import Solved
from kits.plan.other_steps import Scene, cell_in_words, cell_out
from kits.plan.so_far import sewn_so_far
from kits.plan.stages import StageOutline
from kits.plan.values import Step
from kits.plan.words import how_to_set
from projects.circuit.document import Document
from projects.circuit.part_types import Cell, Led
from projects.circuit.text import msg

__all__ = ["FirstLight", "find_first_light", "light_steps"]

MOST_PARTS = 40
STAGE = StageOutline("first light", msg("See a first light"), ("light",), look=True)


@dataclass(frozen=True)
class FirstLight:
    """After which sewing stage the first lights shine, which they are, and in which situation."""

    after: str
    lights: tuple[str, ...]
    solved: Solved
    stage: StageOutline


def find_first_light(
    document: Document, sewn_after: Sequence[tuple[str, Collection[str]]], names: Collection[str] = ()
) -> FirstLight | None:
    """Where a first light can be seen before the last thread is sewn; `sewn_after`: stage, all lines sewn by then.

    `names`: those that other stages have.

    None where only the whole circuit lights anything, where what is sewn by then would short the cell, or in a circuit
    so large that solving it at every stage would take long.
    """
    if len(document.project.parts) > MOST_PARTS:
        return None
    for stage, lines in sewn_after[:-1]:
        facts = Facts(sewn_so_far(document, lines))
        if facts.dead_short is not None:
            return None
        shining = [(lit, solved) for solved in facts.situations.solved if (lit := _lit(facts, solved))]
        if shining:
            lights, solved = max(shining, key=lambda one: len(one[0]))
            free = (f"{STAGE.name} {number}" if number else STAGE.name for number in count())
            return FirstLight(stage, lights, solved, replace(STAGE, name=next(one for one in free if one not in names)))
    return None


def _lit(facts: Facts, solved: Solved) -> tuple[str, ...]:
    """Lights that one sees shine, with a new cell."""
    if solved.setting.cell != "fresh" or not solved.point.converged:
        return ()
    enough = facts.project.settings.dim_amps
    lights = (ref for ref, one in facts.laid_out.types.items() if isinstance(one.model, Led))
    return tuple(ref for ref in lights if solved.point.amps[ref] >= enough)


def light_steps(scene: Scene, found: FirstLight) -> Iterator[Step]:
    """Cell in for a moment, look at the lights, cell out."""
    minutes = scene.habits.test_part_minutes
    cells = scene.refs(Cell)
    for cell in cells:
        words = msg("{put} Take it out again after the next steps.", put=cell_in_words(cell))
        yield Step(f"light:cell-in:{cell}", "test", words, at=scene.spots(cell), minutes=minutes)
    for number, light in enumerate(found.lights):
        how = how_to_set(scene.laid, found.solved.setting.choices) if number == 0 else ""
        words = msg("{how}Does {ref} shine?", how=how, ref=light)
        yield Step(f"light:{light}", "test", words, at=scene.spots(light), minutes=minutes)
    for cell in cells:
        yield cell_out(scene, f"light:cell-out:{cell}", cell)
