"""The sewing of a kit from its first stitch on, through every change of its layout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kits.plan.continuing import Continued, SoFar, Unpick, continue_plan
from kits.plan.make import make_plan
from kits.plan.progress import Progress, progress_of
from kits.plan.values import Plan
from kits.progress import Tick
from projects.circuit.document import Document
from projects.circuit.sewing import Habits

__all__ = ["Chapter", "Followed", "follow"]


@dataclass(frozen=True)
class Chapter:
    """A layout that was accepted, and the events from then until the next one was, oldest first.

    `redrawn`: lines that had been sewn before as this layout has them, and not as the one before said.
    """

    document: Document
    ticks: Sequence[Tick]
    redrawn: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Followed:
    """Where a kit stands in its last chapter, and what was found when that began (None for the first)."""

    document: Document
    progress: Progress
    continued: Continued | None

    @property
    def so_far(self) -> SoFar:
        """What the next change of the layout goes on from."""
        unpick: tuple[Unpick, ...] = self.continued.unpick if self.continued else ()
        return SoFar(self.document, self.progress.done, self.progress.kept, unpick)


def follow(chapters: Sequence[Chapter], habits: Habits | None = None, first_plan: Plan | None = None) -> Followed:
    """Where a kit stands after all its chapters; there must be one at least (ValueError).

    `first_plan`: the plan of the first one, where it is at hand already.
    """
    if not chapters:
        raise ValueError("No layout was accepted yet, so there is nothing to follow.")
    first, *rest = chapters
    plan = first_plan or make_plan(first.document, habits)
    followed = Followed(first.document, progress_of(plan, first.ticks), None)
    for chapter in rest:
        continued = continue_plan(followed.so_far, chapter.document, habits, chapter.redrawn)
        progress = progress_of(
            continued.plan,
            chapter.ticks,
            kept=continued.kept,
            done=continued.done,
            by_step=followed.progress.by_step,
        )
        followed = Followed(chapter.document, progress, continued)
    return followed
