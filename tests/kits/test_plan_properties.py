"""What holds of every plan, whatever the layout: lines, runs, lengths, minutes, keys."""

import json
import math
from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kits.management.commands.sewing_plan import plan_json
from kits.plan.continuing import SoFar, continue_plan
from kits.plan.make import make_plan
from kits.plan.unplanned import unplanned
from kits.plan.values import Plan
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.sewing import Habits, line_connections
from projects.circuit.trails import fewest_trails
from tests.projects.documents import documents

any_document = given(documents())
quietly = settings(max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))


def sewn_by(plan: Plan) -> list[str]:
    """Lines in the order of sewing; one that is cut at a bend once."""
    lines = [line for run in plan.runs for line in run.lines]
    return [line for before, line in pairwise(["", *lines]) if line != before]


@quietly
@any_document
def test_every_line_with_two_ends_is_sewn_exactly_once(document: Document) -> None:
    laid = lay_out(document)
    plan = make_plan(document)
    assert sorted(sewn_by(plan)) == sorted(course.name for course in laid.courses)
    path_mm = math.fsum(run.path_mm for run in plan.runs)
    assert path_mm == pytest.approx(math.fsum(course.length_mm for course in laid.courses))


@quietly
@any_document
def test_runs_go_on_where_they_are_and_are_long_enough(document: Document) -> None:
    lines = {line.name: line for line in document.layout.lines}
    thread = document.project.thread
    for run in make_plan(document).runs:
        assert len(run.terminals) == len(run.lines) + 1
        for line, ends in zip(run.lines, pairwise(run.terminals), strict=True):
            known = {lines[line].start, lines[line].end}
            assert all(end in known or end.startswith(f"{line}~") for end in ends)
            if not any("~" in end for end in ends):
                assert set(ends) == known
        assert run.cut_mm >= thread.strands * run.path_mm * thread.take_up
        assert run.cut_mm >= thread.strands * (run.path_mm * thread.take_up + 200)


@quietly
@any_document
def test_threads_are_as_few_as_can_be_unless_one_would_be_too_long(document: Document) -> None:
    laid = lay_out(document)
    meant_for = line_connections(laid)
    plan = make_plan(document)
    for connection in set(meant_for.values()):
        graph: nx.MultiGraph = nx.MultiGraph()
        for course in laid.courses:
            if meant_for[course.name] == connection:
                graph.add_edge(course.line.start, course.line.end, key=course.name)
        runs = [run for run in plan.runs if run.connection == connection]
        if any(run.split for run in runs):
            assert len(runs) > fewest_trails(graph)
        else:
            assert len(runs) == fewest_trails(graph)


@quietly
@any_document
def test_minutes_add_up_and_keys_name_one_step_each(document: Document) -> None:
    plan = make_plan(document)
    keys = [step.key for stage in plan.stages for step in stage.steps]
    assert len(keys) == len(set(keys))
    for stage in plan.stages:
        assert stage.minutes == pytest.approx(math.fsum(step.minutes for step in stage.steps))
        assert all(step.minutes >= 0 for step in stage.steps)
    assert plan.minutes == pytest.approx(math.fsum(stage.minutes for stage in plan.stages))
    for run in plan.runs:
        steps = [
            step for stage in plan.stages for step in stage.steps if step.run == run.name and step.action != "cover"
        ]
        assert run.minutes == pytest.approx(math.fsum(step.minutes for step in steps))
    names = [stage.name for stage in plan.stages]
    assert len(names) == len(set(names))


@quietly
@any_document
def test_readings_are_whole_and_taken_by_a_step(document: Document) -> None:
    plan = make_plan(document)
    reads = {step.key: stage.name for stage in plan.stages for step in stage.steps if step.action == "read"}
    assert {reading.key: reading.stage for reading in plan.readings} == reads
    for reading in plan.readings:
        assert reading.min >= 0
        if reading.max is None:
            assert reading.min > 0
            assert reading.expected is None
        else:
            assert reading.expected is not None
            assert reading.min <= reading.expected * (1 + 1e-9)
            assert reading.expected <= reading.max * (1 + 1e-9)


@quietly
@any_document
def test_the_same_document_gives_the_same_plan_and_one_that_json_can_hold(document: Document) -> None:
    plan = make_plan(document)
    assert make_plan(document) == plan
    json.dumps(plan_json(plan), allow_nan=False)
    assert isinstance(unplanned(document), tuple)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(documents(), st.floats(0, 1))
def test_a_plan_goes_on_from_anywhere(document: Document, share: float) -> None:
    """Some steps are done; then every third line is straightened and every fifth one goes."""
    plan = make_plan(document, Habits(first_light=True, learners=30, meters=4))
    keys = [step.key for stage in plan.stages for step in stage.steps]
    done = frozenset(keys[: round(share * len(keys))])
    lines = tuple(
        line.model_copy(update={"via": ()}) if at % 3 == 0 else line
        for at, line in enumerate(document.layout.lines)
        if at % 5 != 4
    )
    changed = document.with_layout(document.layout.model_copy(update={"lines": lines}))
    found = continue_plan(SoFar(document, done), changed)
    now = [step.key for stage in found.plan.stages for step in stage.steps]
    assert len(now) == len(set(now))
    assert found.done <= done & set(now)
    sewn = set(sewn_by(found.plan))
    assert sewn | found.kept == {course.name for course in lay_out(changed).courses}
    assert not sewn & found.kept


@quietly
@any_document
def test_the_order_of_lines_in_the_file_changes_no_thread(document: Document) -> None:
    layout = document.layout
    turned = document.with_layout(layout.model_copy(update={"lines": layout.lines[::-1]}))
    assert make_plan(turned).runs == make_plan(document).runs
