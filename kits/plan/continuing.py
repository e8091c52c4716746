"""A plan that changes after sewing began: what is sewn and stays, what is unpicked and why, how the rest is sewn."""

from __future__ import annotations

import math
import zlib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import count

from kits.plan.make import make_plan
from kits.plan.progress import lines_sewn
from kits.plan.survives import Unpick, changed_connections, what_survives
from kits.plan.values import Plan, PlannedStage, Run, Step
from kits.plan.words import place_words, spot_of
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.sewing import Habits, line_connections, stitch_minutes
from projects.circuit.text import msg

__all__ = ["Continued", "SoFar", "Unpick", "continue_plan"]


@dataclass(frozen=True)
class SoFar:
    """A kit in the middle of sewing.

    `document` is what it was sewn by; `done` the keys of the steps done. `kept` and `unpick` are those of the
    `Continued` by which it was sewn (none at first).
    """

    document: Document
    done: frozenset[str]
    kept: frozenset[str] = frozenset()
    unpick: tuple[Unpick, ...] = ()


@dataclass(frozen=True)
class Continued:
    """The plan from here on.

    `plan` starts with a stage that unpicks, if anything must be. `kept`: lines of the new layout that are sewn and
    that the plan leaves as they are. `done`: steps of the plan that were done and need not be done again. `unpick`:
    lines that must come out, by their names in the layout they were sewn by. `reopened`: stages that were done and are
    not now.
    """

    plan: Plan
    kept: frozenset[str]
    done: frozenset[str]
    unpick: tuple[Unpick, ...]
    reopened: tuple[str, ...]


def continue_plan(
    before: SoFar, after: Document, habits: Habits | None = None, redrawn: Collection[str] = ()
) -> Continued:
    """Keep what is sewn and is still right in `after`; plan the rest.

    `redrawn` names lines that were sewn as `after` has them, not as the plan said ("I sewed it differently").

    A connection in which nothing has changed keeps its threads, steps and keys as they were, even halfway through a
    thread. In one that has changed, lines that are sewn and did not move stay, a thread that is still in the needle
    is tied off, and what is left gets threads of its own.
    """
    habits = habits or Habits()
    old_plan = make_plan(before.document, habits, before.kept)
    whole, partly = lines_sewn(old_plan, before.done, before.kept)
    planned, new = lay_out(before.document), lay_out(after)
    old = lay_out(_as_sewn(before.document, after, redrawn)) if redrawn else planned
    survival = what_survives(old, new, whole)
    changed = changed_connections(planned, new, {one.line for one in survival.unpick})
    was_for, meant_for = line_connections(old), line_connections(new)
    kept = frozenset(line for was, line in survival.stays.items() if meant_for[line] in changed or was in before.kept)
    waiting = (one for one in before.unpick if _unpick_key(one) not in before.done)
    half = (_half_sewn(old, line) for line in sorted(partly) if was_for[line] in changed)
    unpick = tuple({_unpick_key(one): one for one in (*waiting, *survival.unpick, *half)}.values())
    plan = make_plan(after, habits, kept)
    first = tuple(_first_steps(old, old_plan, before, unpick, changed, habits))
    if first:
        plan = replace(plan, stages=(_unpick_stage(plan, first), *plan.stages))
    if not changed and not unpick and _same_places(old, new):
        return Continued(plan, kept, before.done, (), ())
    still = _still_done(old, new, plan, before.done, changed)
    return Continued(plan, kept, still, unpick, tuple(_reopened(old_plan, plan, before.done, still)))


def _as_sewn(document: Document, after: Document, redrawn: Collection[str]) -> Document:
    """The layout sewn by, with some lines as they really are."""
    real = {line.name: line for line in after.layout.lines if line.name in redrawn}
    lines = tuple(real.get(line.name, line) for line in document.layout.lines)
    return document.with_layout(document.layout.model_copy(update={"lines": lines}))


def _steps(plan: Plan) -> Iterator[Step]:
    return (step for stage in plan.stages for step in stage.steps)


def _unpick_key(one: Unpick) -> str:
    """Names the stretch of thread, not only the line: a line of the same name may be sewn, and unpicked, again."""
    course = "|".join(f"{spot.piece} {spot.x:.1f} {spot.y:.1f}" for spot in one.at)
    return f"unpick:{one.line}:{zlib.crc32(course.encode()):08x}"


def _half_sewn(old: LaidOut, line: str) -> Unpick:
    at = tuple(spot for end in _ends(old, line) if (spot := spot_of(old, end)) is not None)
    return Unpick(line, msg("It is sewn only in part."), at)


def _ends(laid: LaidOut, line: str) -> tuple[str, str]:
    found = next(course.line for course in laid.courses if course.name == line)
    return found.start, found.end


def _first_steps(
    old: LaidOut,
    old_plan: Plan,
    before: SoFar,
    unpick: Collection[Unpick],
    changed: Collection[str],
    habits: Habits,
) -> Iterator[Step]:
    """Cell out, threads in the needle tied off, lines unpicked."""
    held = [run for run in old_plan.runs if run.connection in changed and _in_needle(old_plan, run, before.done)]
    if held or unpick:
        words = msg("Your plan has changed. Is the battery out? Then do these steps first.")
        yield Step("unpick:ready", "look", words, minutes=habits.look_seconds / 60)
    out = {one.line for one in unpick}
    for run in held:
        sewn = [line for line in dict.fromkeys(run.lines) if line in lines_sewn(old_plan, before.done)[0]]
        yield _tie_off(old, old_plan, run, before.done, any(line not in out for line in sewn))
    stitch_mm = old.project.settings.stitch_mm
    lengths = {course.name: course.length_mm for course in old.courses}
    for one in unpick:
        words = msg(
            "Unpick line {line}. {why} Cut only this thread. Look at both sides: no bits of thread may stay.",
            line=one.line,
            why=one.why,
        )
        # Half the time of sewing it: stitches are cut and drawn, not made (common practice, no published source).
        minutes = stitch_minutes(lengths.get(one.line, 0.0), stitch_mm, habits) / 2
        yield Step(_unpick_key(one), "unpick", words, at=one.at, minutes=minutes)


def _in_needle(plan: Plan, run: Run, done: Collection[str]) -> bool:
    """Whether a thread was begun on the fabric and not tied off."""
    steps = [step for step in _steps(plan) if step.run == run.name]
    begun = any(step.action in ("anchor", "sew") and step.key in done for step in steps)
    return begun and not any(step.action == "tie" and step.key in done for step in steps)


def _tie_off(old: LaidOut, plan: Plan, run: Run, done: Collection[str], stays: bool) -> Step:
    """End a thread that is in the needle, at the last place that it reached; or take it out, if none of it stays."""
    reached = [step for step in _steps(plan) if step.run == run.name and step.key in done and step.line is not None]
    line = reached[-1].line or ""
    key = f"tie:early:{run.lines[0]}"
    if not stays:
        words = msg("A thread is still in your needle. Take it out of the fabric: it is not needed now.")
        return Step(key, "unpick", words)
    end = next((step.terminal for step in reversed(reached) if step.terminal), None)
    where = place_words(old, end) if end else msg("line {line}", line=line)
    words = msg(
        "A thread is still in your needle. Tie it off on the inside at {where}, with two loops. Cut off the tail.",
        where=where,
    )
    spot = spot_of(old, end) if end else None
    return Step(key, "tie", words, at=(spot,) if spot else (), side="inside", minutes=1.0)


def _unpick_stage(plan: Plan, steps: tuple[Step, ...]) -> PlannedStage:
    taken = {stage.name for stage in plan.stages}
    name = next(name for name in (f"unpick {n}" if n > 1 else "unpick" for n in count(1)) if name not in taken)
    minutes = math.fsum(step.minutes for step in steps)
    return PlannedStage(name, msg("Unpick first"), ("sew",), steps, (), False, minutes)


def _same_places(old: LaidOut, new: LaidOut) -> bool:
    return dict(old.places) == dict(new.places) and old.document.layout.covers == new.document.layout.covers


def _still_done(
    old: LaidOut, new: LaidOut, plan: Plan, done: Collection[str], changed: Collection[str]
) -> frozenset[str]:
    """Steps done that need not be done again.

    Marking stays done for what lies where it lay. Sewing and measuring stay done in stages of connections that did not
    change, and so do steps of a changed stage that sew a connection which did not. The test and all after it is
    done again.
    """
    meant_for = line_connections(new)
    moved = {ref for ref, one in _by_ref(old).items() if _by_ref(new).get(ref) != one}
    still: set[str] = set()
    for stage in plan.stages:
        touched = bool(set(stage.connections) & set(changed)) or not {"light", "test", "finish", "care"}.isdisjoint(
            stage.kinds
        )
        for step in stage.steps:
            if step.line is not None:
                stays = meant_for.get(step.line, "") not in changed
            elif step.key.startswith("mark:part:"):
                stays = step.key.removeprefix("mark:part:").partition(".")[0] not in moved
            else:
                stays = not touched and not step.key.startswith(("unpick:", "tie:early:"))
            if stays and step.key in done:
                still.add(step.key)
    return frozenset(still)


def _by_ref(laid: LaidOut) -> Mapping[str, frozenset[object]]:
    found: dict[str, set[object]] = {}
    for (ref, _), place in laid.places.items():
        found.setdefault(ref, set()).add(place)
    return {ref: frozenset(places) for ref, places in found.items()}


def _reopened(old_plan: Plan, plan: Plan, done: Collection[str], still: Collection[str]) -> Iterator[str]:
    """Stages of the new plan that were done in the old one and now have something to do."""
    finished = {
        stage.name for stage in old_plan.stages if all(step.key in done or step.optional for step in stage.steps)
    }
    for stage in plan.stages:
        if stage.name in finished and not all(step.key in still or step.optional for step in stage.steps):
            yield stage.name
