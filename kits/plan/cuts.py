"""The lengths to cut, by themselves: what buying and packing need of a plan, without its steps and readings."""

from __future__ import annotations

from dataclasses import dataclass

from kits.plan.order import sewing_order
from kits.plan.runs import cut_into_runs
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.sewing import Habits, cut_mm

__all__ = ["Cut", "Cuts", "thread_cuts"]


@dataclass(frozen=True)
class Cut:
    """One thread to cut from the spool, before folding."""

    cut_mm: float


@dataclass(frozen=True)
class Cuts:
    """The threads of a layout in order of sewing; the same lengths as in its plan."""

    runs: tuple[Cut, ...]


def thread_cuts(document: Document, habits: Habits | None = None) -> Cuts:
    """The lengths to cut for a layout, whatever is still wrong with it."""
    habits = habits or Habits()
    laid = lay_out(document)
    threads = cut_into_runs(laid, sewing_order(laid), habits)
    return Cuts(tuple(Cut(cut_mm(one.path_mm, one.anchors, document.project.thread, habits)) for one in threads))
