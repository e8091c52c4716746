"""The sewing plan of a layout: runs, stages with their steps, readings, materials."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from checks.sewn import sew
from kits.plan.covers import covers_first
from kits.plan.materials import kit_materials
from kits.plan.network import SewnSoFar, fabric_of
from kits.plan.order import sewing_order
from kits.plan.other_steps import OTHER_STEPS, Scene, look_step, own_stage_step
from kits.plan.readings import readings_of_runs, readings_of_whole
from kits.plan.run_steps import RunOnFabric, run_of, run_steps
from kits.plan.runs import ThreadRun, cut_into_runs
from kits.plan.stages import StageOutline, outline_stages
from kits.plan.values import Plan, PlannedStage, Reading, Run, Step
from kits.plan.words import spot_of
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, lay_out
from projects.circuit.part_types import Cell
from projects.circuit.sewing import Habits
from projects.circuit.text import msg

__all__ = ["make_plan"]


def make_plan(document: Document, habits: Habits | None = None) -> Plan:
    """Plan how a layout is sewn, whatever is still wrong with it.

    Lines with an end that has no place are left out. Lines that are for no connection are sewn last. Deterministic:
    the same document and habits give the same plan, with the same step keys.
    """
    return _Planner(lay_out(document), habits or Habits()).plan()


@dataclass(frozen=True)
class _Sewing:
    """One thread with what the plan and its stage say of it."""

    thread: ThreadRun
    run: Run
    steps: tuple[Step, ...]


class _Planner:
    def __init__(self, laid: LaidOut, habits: Habits) -> None:
        self.laid, self.habits = laid, habits
        self.fabric = fabric_of(sew(laid), habits)
        self.scene = Scene(laid, habits)

    def plan(self) -> Plan:
        order = sewing_order(self.laid)
        threads = cut_into_runs(self.laid, order, self.habits)
        outlines = outline_stages(self.laid.project, order, {thread.connection for thread in threads})
        in_stage = _threads_by_stage(outlines, threads)
        sewings = self._sew([thread for stage in outlines for thread in in_stage[stage.name]])
        to_come = iter(sewings)
        stages: list[PlannedStage] = []
        readings: list[Reading] = []
        sewn: set[str] = set()
        for stage in outlines:
            here = list(islice(to_come, len(in_stage[stage.name])))
            sewn.update(line for sewing in here for line in sewing.run.lines)
            taken = self._readings(stage, here, frozenset(sewn))
            readings.extend(taken)
            stages.append(self._stage(stage, here, taken, first=not any(one.kind == "sew" for one in stages)))
        runs = tuple(sewing.run for sewing in sewings)
        return Plan(runs, tuple(stages), tuple(readings), kit_materials(self.laid.project, runs))

    def _sew(self, threads: Sequence[ThreadRun]) -> list[_Sewing]:
        covers = covers_first(self.laid, (stretch for thread in threads for stretch in thread.stretches))
        sewn: set[str] = set()
        sewings = []
        for number, thread in enumerate(threads, start=1):
            on = RunOnFabric(thread, number, self.laid, self.habits, frozenset(sewn), covers)
            sewings.append(_Sewing(thread, run_of(on), tuple(run_steps(on))))
            sewn.update(thread.nodes)
        return sewings

    def _readings(self, stage: StageOutline, here: Sequence[_Sewing], sewn: frozenset[str]) -> list[Reading]:
        so_far = SewnSoFar(self.fabric, sewn)
        if stage.kind == "test":
            return readings_of_whole(so_far, stage.name)
        return readings_of_runs(so_far, [sewing.thread for sewing in here], stage.name)

    def _stage(
        self, stage: StageOutline, here: Sequence[_Sewing], taken: Sequence[Reading], first: bool
    ) -> PlannedStage:
        steps = [step for sewing in here for step in sewing.steps]
        reads = [self._read_step(reading) for reading in taken]
        look = [look_step(self.scene, stage)] if stage.look else []
        if stage.kind is None:
            steps = [own_stage_step(self.scene, stage), *look]
        elif stage.kind == "sew":
            steps = [*self._before_sewing(stage, here, first), *steps, *reads, *look]
        elif stage.kind == "test":
            steps = [*reads, *look, *OTHER_STEPS["test"](self.scene)]
        else:
            steps = [*OTHER_STEPS[stage.kind](self.scene), *look]
        return PlannedStage(
            name=stage.name,
            title=stage.title,
            kind=stage.kind or "finish",
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
        planned = {sewing.run.connection for sewing in here}
        for name in stage.connections:
            if name not in planned:
                words = msg("{connection} has no lines yet. Draw them on your plan first.", connection=name)
                steps.append(Step(f"missing:{name}", "look", words))
        return steps

    def _read_step(self, reading: Reading) -> Step:
        spots = (spot_of(self.laid, reading.start), spot_of(self.laid, reading.end))
        return Step(
            reading.key,
            "read",
            reading.text,
            at=tuple(spot for spot in spots if spot is not None),
            minutes=self.habits.reading_minutes,
        )


def _threads_by_stage(
    outlines: Iterable[StageOutline], threads: Sequence[ThreadRun]
) -> Mapping[str, tuple[ThreadRun, ...]]:
    return {
        stage.name: tuple(thread for name in stage.connections for thread in threads if thread.connection == name)
        for stage in outlines
    }
