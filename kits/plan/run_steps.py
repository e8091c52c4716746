"""The steps of one thread: cut, knot, start, sew, pass on, look, tie off, trim."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from kits.plan.covers import CoverFirst
from kits.plan.runs import Stretch, ThreadRun
from kits.plan.values import Action, Run, Step
from kits.plan.words import place_words, spot_of
from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.holes import side_of
from projects.circuit.part_types import Link
from projects.circuit.sewing import Habits, anchor_minutes, cut_mm, run_minutes, stitch_minutes, thread_minutes
from projects.circuit.text import Message, msg

__all__ = ["RunOnFabric", "run_of", "run_steps"]

# Shares of a thread's own minutes: cutting, threading with the knot, tying off, trimming.
CUT, KNOT, TIE, TRIM = 0.2, 0.4, 0.3, 0.1


@dataclass(frozen=True)
class RunOnFabric:
    """A run with its number, and what is on the fabric before it: nodes sewn, covers that its stretches need."""

    thread: ThreadRun
    number: int
    laid: LaidOut
    habits: Habits
    sewn: Collection[str]
    covers: Mapping[Stretch, tuple[CoverFirst, ...]]

    @property
    def name(self) -> str:
        return f"t{self.number}"


def run_of(on: RunOnFabric) -> Run:
    """The run as the plan lists it."""
    run, project = on.thread, on.laid.project
    return Run(
        name=on.name,
        connection=run.connection,
        terminals=run.nodes,
        lines=tuple(stretch.line for stretch in run.stretches),
        path_mm=run.path_mm,
        cut_mm=cut_mm(run.path_mm, run.anchors, project.thread, on.habits),
        minutes=run_minutes(on.number, run.path_mm, run.anchors, project.settings.stitch_mm, on.habits),
        split=run.split,
    )


def run_steps(on: RunOnFabric) -> list[Step]:
    """All steps of a run, in order. Their keys name lines and terminals, never the run's number."""
    stretches = on.thread.stretches
    first, last = stretches[0], stretches[-1]
    start_words = _start_words(on, first.start, first.start in on.sewn)
    steps = [*_before(on, first), _stop_at(on, "start", first, first.start, start_words)]
    for at, stretch in enumerate(stretches):
        steps.extend(_cover_step(on, stretch, cover) for cover in on.covers.get(stretch, ()))
        steps.append(_sew_step(on, stretch))
        if stretch is not last:
            thread_there = stretch.end in on.sewn or stretch.end in on.thread.nodes[: at + 1]
            steps.append(_stop_at(on, "pass", stretch, stretch.end, _pass_words(on, stretch.end, thread_there)))
    thread_there = last.end in on.sewn or last.end in on.thread.nodes[:-1]
    steps.append(_stop_at(on, "end", last, last.end, _end_words(on, last.end, thread_there)))
    return [*steps, *_after(on, last)]


def _key(action: str, stretch: Stretch, node: str = "") -> str:
    return ":".join(part for part in (action, stretch.name, node) if part)


def _before(on: RunOnFabric, first: Stretch) -> list[Step]:
    minutes = thread_minutes(on.number, on.habits)
    strands = on.laid.project.thread.strands
    cut = math.ceil(run_of(on).cut_mm / 10 - 1e-9)
    knot = msg("Thread the needle. Knot one end.")
    if strands == 2:
        knot = msg("Thread the needle. Fold the thread in half. Knot both ends as one.")
    elif strands > 2:
        knot = msg("Thread the needle. Lay the thread in {strands} equal parts. Knot the ends as one.", strands=strands)
    words = msg("Thread {number}: cut {length} cm of thread.", number=on.number, length=cut)
    return [
        Step(_key("cut", first), "cut", words, on.name, first.line, minutes=CUT * minutes),
        Step(_key("knot", first), "knot", knot, on.name, first.line, minutes=KNOT * minutes),
    ]


def _after(on: RunOnFabric, last: Stretch) -> list[Step]:
    minutes = thread_minutes(on.number, on.habits)
    end = spot_of(on.laid, last.end)
    at = (end,) if end else ()
    turn = msg("Turn the fabric over. Look at both sides. Pull loose loops snug.")
    tie = msg("Tie off on the inside. Make two loops under the last stitch. Pull them tight.")
    trim = msg(
        "Cut off the tail. Leave at most {tail} mm. A long tail can touch the next line.",
        tail=round(on.habits.tail_mm),
    )

    def step(action: Action, words: Message, minutes: float) -> Step:
        return Step(_key(action, last), action, words, on.name, last.line, None, at, "inside", minutes)

    return [
        step("turn", turn, on.habits.look_seconds / 60),
        step("tie", tie, TIE * minutes),
        step("trim", trim, TRIM * minutes),
    ]


def _sew_step(on: RunOnFabric, stretch: Stretch) -> Step:
    settings = on.laid.project.settings
    words = msg(
        "Sew along line {line} to {end}. Make each stitch {stitch} mm long.",
        line=stretch.line,
        end=place_words(on.laid, stretch.end),
        stitch=f"{settings.stitch_mm:g}",
    )
    if on.covers.get(stretch):
        words = msg(
            "Sew along line {line} to {end}. Go over the cover in one long stitch. Do not prick the cover.",
            line=stretch.line,
            end=place_words(on.laid, stretch.end),
        )
    piece = next(course.piece for course in on.laid.courses if course.name == stretch.line)
    return Step(
        _key("sew", stretch),
        "sew",
        words,
        on.name,
        stretch.line,
        at=tuple(Spot(piece, x, y) for x, y in stretch.points),
        minutes=stitch_minutes(stretch.path_mm, settings.stitch_mm, on.habits),
    )


def _cover_step(on: RunOnFabric, stretch: Stretch, cover: CoverFirst) -> Step:
    words = msg(
        "Lay the cover over line {under}. Sew its rim down with plain thread. Line {line} will go over it.",
        under=cover.under,
        line=stretch.line,
    )
    key = f"cover:{stretch.line}:{cover.number}"
    return Step(key, "cover", words, on.name, stretch.line, at=(cover.spot,), minutes=on.habits.cover_minutes)


def _stop_at(
    on: RunOnFabric, stop: Literal["start", "pass", "end"], stretch: Stretch, node: str, words: Message
) -> Step:
    """A step at a terminal, join or bend; three tight stitches only at a terminal."""
    spot = spot_of(on.laid, node)
    is_terminal = "." in node
    return Step(
        _key(stop, stretch, node),
        "pass" if stop == "pass" else "anchor",
        words,
        on.name,
        stretch.line,
        node if is_terminal else None,
        (spot,) if spot else (),
        side_of(on.laid, node.partition(".")[0]) if is_terminal else None,
        anchor_minutes(1, on.habits) if is_terminal else 0.0,
    )


def _start_words(on: RunOnFabric, node: str, thread_there: bool) -> Message:
    place = place_words(on.laid, node)
    if "." not in node:
        if thread_there:
            return msg("Start at {place}. Sew two stitches round the thread there.", place=place)
        return msg("Start at {place}. Keep the knot on the inside.", place=place)
    if _is_inside(on, node):
        return msg("Start at {place}. It is on the inside. Make three tight stitches in the hole.", place=place)
    return msg("Start at {place}. Come up from the inside. Make three tight stitches in the hole.", place=place)


def _pass_words(on: RunOnFabric, node: str, thread_there: bool) -> Message:
    place = place_words(on.laid, node)
    if "." not in node:
        if thread_there:
            return msg("At {place}, sew one stitch round the thread there. Then go on.", place=place)
        return msg("Go on past {place}. Do not cut the thread.", place=place)
    if _is_inside(on, node):
        return msg("{place} is on the inside. Make three tight stitches. Do not cut. Go on.", place=place)
    return msg("Make three tight stitches in {place}. Do not cut. Go on.", place=place)


def _end_words(on: RunOnFabric, node: str, thread_there: bool) -> Message:
    place = place_words(on.laid, node)
    if "~" in node:
        return msg("Stop at {place}. The next thread goes on from here.", place=place)
    if node.startswith("@"):
        if not thread_there:
            return msg("Stop at {place}.", place=place)
        return msg("Stop at {place}. Sew two stitches round the thread there.", place=place)
    if isinstance(on.laid.types[node.partition(".")[0]].model, Link):
        return msg(
            "Make three tight stitches in {place}. Stop here. The next piece goes on from the seam.", place=place
        )
    if _is_inside(on, node):
        return msg("{place} is on the inside. Make three tight stitches. Stop here.", place=place)
    return msg("Make three tight stitches in {place}. Stop here.", place=place)


def _is_inside(on: RunOnFabric, terminal: str) -> bool:
    return side_of(on.laid, terminal.partition(".")[0]) == "inside"
