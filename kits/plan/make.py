"""The sewing plan of a layout: runs, stages with their steps, readings, materials."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice

from checks.facts import Facts
from kits.plan.covers import covers_first
from kits.plan.first_light import FirstLight, find_first_light, light_steps
from kits.plan.materials import kit_materials
from kits.plan.network import SewnSoFar, fabric_of
from kits.plan.order import sewing_order
from kits.plan.other_steps import OTHER_STEPS, Scene, look_step, own_stage_step, put_before_cell_out
from kits.plan.readings import readings_of_runs, readings_of_whole
from kits.plan.run_steps import RunOnFabric, run_of, run_steps
from kits.plan.runs import Stretch, ThreadRun, cut_into_runs
from kits.plan.stages import StageOutline, outline_stages
from kits.plan.values import Plan, PlannedStage, Reading, Run, Step
from kits.plan.volts import readings_in_volts
from kits.plan.waiting import with_waiting
from kits.plan.words import spot_of
from projects.circuit.document import Document
from projects.circuit.part_types import Cell
from projects.circuit.sewing import Habits, line_connections
from projects.circuit.text import msg

__all__ = ["make_plan"]


def make_plan(document: Document, habits: Habits | None = None, kept: Collection[str] = ()) -> Plan:
    """Plan how a layout is sewn, whatever is still wrong with it.

    `kept` names lines that are sewn already and stay: the plan sews the rest, and reckons with them.
    Lines with an end that has no place are left out. Lines that are for no connection are sewn last. Deterministic:
    the same document and habits give the same plan, with the same step keys.
    """
    return _Planner(Facts(document), habits or Habits(), kept).plan()


@dataclass(frozen=True)
class _Sewing:
    """One thread with what the plan and its stage say of it."""

    thread: ThreadRun
    run: Run
    steps: tuple[Step, ...]


class _Planner:
    def __init__(self, facts: Facts, habits: Habits, kept: Collection[str]) -> None:
        self.facts, self.habits = facts, habits
        self.laid = facts.laid_out
        self.fabric = fabric_of(facts.sewn, habits)
        self.scene = Scene(self.laid, habits)
        self.kept = [course for course in self.laid.courses if course.name in kept]

    def plan(self) -> Plan:
        order = sewing_order(self.laid)
        threads = cut_into_runs(self.laid, order, self.habits, {course.name for course in self.kept})
        with_lines = {thread.connection for thread in threads} | self._kept_connections
        outlines = outline_stages(self.laid.project, order, with_lines)
        in_stage = _threads_by_stage(outlines, threads)
        light = self._first_light(outlines, in_stage)
        sewings = self._sew([thread for stage in outlines for thread in in_stage[stage.name]])
        to_come = iter(sewings)
        stages: list[PlannedStage] = []
        readings: list[Reading] = []
        sewn = {course.name for course in self.kept}
        for stage in _with(outlines, light):
            here = list(islice(to_come, len(in_stage.get(stage.name, ()))))
            sewn.update(line for sewing in here for line in sewing.run.lines)
            taken = self._readings(stage, here, frozenset(sewn)) if self.habits.meters else []
            readings.extend(taken)
            first = not any("sew" in one.kinds for one in stages)
            steps = self._light(stage, taken, light) if light and stage is light.stage else None
            stages.append(self._stage(stage, steps or self._steps(stage, here, taken, first)))
        runs = tuple(sewing.run for sewing in sewings)
        stages = with_waiting(stages, self.habits)
        return Plan(runs, tuple(stages), tuple(readings), kit_materials(self.laid.project, runs))

    def _first_light(
        self, outlines: Sequence[StageOutline], in_stage: Mapping[str, Sequence[ThreadRun]]
    ) -> FirstLight | None:
        if not self.habits.first_light:
            return None
        sewn = {course.name for course in self.kept}
        sewn_after: list[tuple[str, Collection[str]]] = []
        for stage in outlines:
            threads = in_stage[stage.name]
            sewn.update(stretch.line for thread in threads for stretch in thread.stretches)
            if threads:
                sewn_after.append((stage.name, frozenset(sewn)))
        return find_first_light(self.facts.document, sewn_after, {stage.name for stage in outlines})

    def _sew(self, threads: Sequence[ThreadRun]) -> list[_Sewing]:
        before = [Stretch(one.name, one.line.start, one.line.end, one.points) for one in self.kept]
        stretches = (stretch for thread in threads for stretch in thread.stretches)
        covers = covers_first(self.laid, (*before, *stretches))
        sewn = {end for stretch in before for end in (stretch.start, stretch.end)}
        sewings = []
        for number, thread in enumerate(threads, start=1):
            on = RunOnFabric(thread, number, self.laid, self.habits, frozenset(sewn), covers)
            sewings.append(_Sewing(thread, run_of(on), tuple(run_steps(on))))
            sewn.update(thread.nodes)
        return sewings

    def _readings(self, stage: StageOutline, here: Sequence[_Sewing], sewn: frozenset[str]) -> list[Reading]:
        """Those of the threads sewn here; of a connection that is sewn already, those of its threads as they lie."""
        so_far = SewnSoFar(self.fabric, sewn)
        if "light" in stage.kinds:
            return readings_of_whole(so_far, stage.name, "read:first")
        threads = [sewing.thread for sewing in here]
        planned = {thread.connection for thread in threads}
        lying = [one for one in self._threads_kept if one.connection in set(stage.connections) - planned]
        taken = readings_of_runs(so_far, [*lying, *threads], stage.name)
        if "test" in stage.kinds:
            taken += readings_of_whole(so_far, stage.name)
            taken += readings_in_volts(self.facts, self.habits, stage.name)
        return taken

    def _steps(
        self, stage: StageOutline, here: Sequence[_Sewing], taken: Sequence[Reading], first: bool
    ) -> Sequence[Step]:
        """All that the stage does. Its look comes before the cell goes in, else right after the plan is marked."""
        look = [look_step(self.scene, stage)] if stage.look else []
        if not stage.kinds:
            return [own_stage_step(self.scene, stage), *look]
        reads = [self._read_step(reading) for reading in taken if reading.kind == "ohms"]
        volts = [self._read_step(reading) for reading in taken if reading.kind == "volts"]
        steps: list[Step] = []
        for kind in stage.kinds:
            if kind == "sew":
                sewn = (step for sewing in here for step in sewing.steps)
                steps += [*self._before_sewing(stage, here, first), *sewn]
            elif kind == "test":
                steps += [*reads, *look, *put_before_cell_out(OTHER_STEPS[kind](self.scene), volts)]
            else:
                steps += OTHER_STEPS[kind](self.scene)
                steps += look if kind == "mark" and "test" not in stage.kinds else []
        if "test" in stage.kinds:
            return steps
        return [*steps, *reads, *([] if "mark" in stage.kinds else look)]

    def _light(self, stage: StageOutline, taken: Sequence[Reading], light: FirstLight) -> Sequence[Step]:
        reads = [self._read_step(reading) for reading in taken]
        return [*reads, look_step(self.scene, stage), *light_steps(self.scene, light)]

    def _stage(self, stage: StageOutline, steps: Sequence[Step]) -> PlannedStage:
        return PlannedStage(
            name=stage.name,
            title=stage.title,
            kinds=stage.kinds,
            steps=tuple(steps),
            connections=tuple(name for name in stage.connections if name),
            look=stage.look,
            minutes=sum(step.minutes for step in steps),
        )

    def _before_sewing(self, stage: StageOutline, here: Sequence[_Sewing], first: bool) -> list[Step]:
        steps = []
        if first:
            words = msg("Count your needles. Keep them in the pin pad.")
            if self.scene.refs(Cell):
                words = msg("Is the battery out? Count your needles. Keep them in the pin pad.")
            steps.append(Step("sew:ready", "look", words, minutes=self.habits.look_seconds / 60))
        planned = {sewing.run.connection for sewing in here} | self._kept_connections
        for name in stage.connections:
            if name not in planned:
                words = msg("{connection} has no lines yet. Draw them on your plan first.", connection=name)
                steps.append(Step(f"missing:{name}", "look", words))
        return steps

    @cached_property
    def _threads_kept(self) -> list[ThreadRun]:
        if not self.kept:
            return []
        kept = {course.name for course in self.kept}
        others = {course.name for course in self.laid.courses} - kept
        return cut_into_runs(self.laid, sewing_order(self.laid), self.habits, others)

    @cached_property
    def _kept_connections(self) -> set[str]:
        meant_for = line_connections(self.laid)
        return {meant_for[course.name] for course in self.kept}

    def _read_step(self, reading: Reading) -> Step:
        spots = (spot_of(self.laid, reading.start), spot_of(self.laid, reading.end))
        return Step(
            reading.key,
            "read",
            reading.text,
            at=tuple(spot for spot in spots if spot is not None),
            minutes=0.0 if reading.optional else self.habits.reading_minutes,
            optional=reading.optional,
        )


def _with(outlines: Sequence[StageOutline], light: FirstLight | None) -> list[StageOutline]:
    """The stages, with that of the first light right after the one that closes the loop."""
    found: list[StageOutline] = []
    for stage in outlines:
        found.append(stage)
        if light is not None and stage.name == light.after:
            found.append(light.stage)
    return found


def _threads_by_stage(
    outlines: Iterable[StageOutline], threads: Sequence[ThreadRun]
) -> Mapping[str, tuple[ThreadRun, ...]]:
    return {
        stage.name: tuple(thread for name in stage.connections for thread in threads if thread.connection == name)
        for stage in outlines
    }
