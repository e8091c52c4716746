"""A layout that changes after sewing began, and lines that were sewn differently."""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import UTC, datetime

import pytest

from checks.engine import check
from checks.findings import Finding
from kits.plan.continuing import Continued, SoFar, continue_plan
from kits.plan.differently import check_sewn, sewn_differently
from kits.plan.follow import Chapter, follow
from kits.plan.make import make_plan
from kits.plan.progress import lines_sewn, progress_of
from kits.plan.so_far import sewn_so_far
from kits.plan.values import Plan
from kits.progress import Tick
from projects.circuit import project_file
from projects.circuit.document import Document
from projects.circuit.layout import Line
from projects.circuit.refusal import Refusal
from tests.checks.reading_grade import reading_grade
from tests.kits.plan_documents import LANTERN, porch

NOW = datetime(2026, 3, 6, 15, 0, tzinfo=UTC)
START = project_file.read(LANTERN.read_bytes())
PLAN = make_plan(START)


def keys_of(plan: Plan) -> list[str]:
    return [step.key for stage in plan.stages for step in stage.steps]


def done_before(key: str, plan: Plan = PLAN) -> frozenset[str]:
    keys = keys_of(plan)
    return frozenset(keys[: keys.index(key)])


def with_line(document: Document, name: str, **changes: object) -> Document:
    lines = tuple(one.model_copy(update=changes) if one.name == name else one for one in document.layout.lines)
    return document.with_layout(document.layout.model_copy(update={"lines": lines}))


def with_place(document: Document, ref: str, **changes: object) -> Document:
    places = tuple(one.model_copy(update=changes) if one.ref == ref else one for one in document.layout.places)
    return document.with_layout(document.layout.model_copy(update={"places": places}))


def left_to_sew(found: Continued) -> list[str]:
    progress = progress_of(found.plan, [], kept=found.kept, done=found.done)
    return [step.line or "" for _, step in progress.left if step.action == "sew"]


def test_nothing_changes_where_nothing_has_changed() -> None:
    found = continue_plan(SoFar(START, done_before("sew:s5")), START)
    assert found.plan == PLAN
    assert (found.done, found.unpick, found.reopened, found.kept) == (done_before("sew:s5"), (), (), frozenset())


def test_a_change_ahead_of_the_needle_leaves_all_that_is_sewn() -> None:
    """The + side is sewn; s4, not yet sewn, goes another way."""
    changed = with_line(START, "s4", via=((130.0, 30.0), (130.0, 85.0)))
    found = continue_plan(SoFar(START, done_before("sew:ready") | done_before("cut:s6")), changed)
    assert found.unpick == ()
    assert left_to_sew(found) == ["s6", "s5", "s4"]
    assert [stage.name for stage in found.plan.stages] == [stage.name for stage in PLAN.stages]
    assert found.reopened == ()
    assert keys_of(make_plan(changed)) == keys_of(found.plan)


def test_a_line_that_moved_is_unpicked_and_the_rest_of_its_thread_stays() -> None:
    """The + side is sewn and ended; its last line s2 now takes a bend."""
    changed = with_line(START, "s2", via=((80.0, 20.0),))
    found = continue_plan(SoFar(START, done_before("cut:s6")), changed)
    assert [(one.line, str(one.why)) for one in found.unpick] == [("s2", "It goes another way now.")]
    assert found.kept == {"s1", "s3"}
    assert left_to_sew(found) == ["s2", "s6", "s5", "s4"]
    first = found.plan.stages[0]
    assert first.name == "unpick"
    assert [step.action for step in first.steps] == ["look", "unpick"]
    assert "Unpick line s2. It goes another way now." in str(first.steps[1].text)
    assert found.reopened == ("positive side",)
    # A new thread, only as long as it must be, that joins the thread at the meeting point.
    run = next(run for run in found.plan.runs if run.connection == "plus")
    assert run.lines == ("s2",)
    assert run.cut_mm < next(one for one in PLAN.runs if one.connection == "plus").cut_mm
    words = [str(step.text) for stage in found.plan.stages for step in stage.steps if step.run == run.name]
    assert any("Sew two stitches round the thread there." in text for text in words)


def test_a_part_that_moved_takes_its_lines_along_and_is_marked_again() -> None:
    changed = with_place(START, "L1", x=112.0)
    found = continue_plan(SoFar(START, done_before("cut:s6")), changed)
    assert [(one.line, str(one.why)) for one in found.unpick] == [("s2", "L1 has moved.")]
    progress = progress_of(found.plan, [], kept=found.kept, done=found.done)
    assert [step.key for _, step in progress.left if step.action == "mark"] == ["mark:part:L1"]
    assert "mark" in found.reopened


def test_a_line_that_is_gone_or_goes_elsewhere_says_so() -> None:
    gone = START.with_layout(
        START.layout.model_copy(update={"lines": tuple(one for one in START.layout.lines if one.name != "s3")})
    )
    found = continue_plan(SoFar(START, done_before("cut:s6")), gone)
    assert [(one.line, str(one.why)) for one in found.unpick] == [("s3", "It is not on the new plan.")]
    elsewhere = with_line(START, "s5", start="S1.b")
    found = continue_plan(SoFar(START, done_before("cut:s4")), elsewhere)
    assert [(one.line, str(one.why)) for one in found.unpick] == [("s5", "It goes to S1 (B) now.")]


def test_a_line_that_is_only_renamed_or_turned_round_stays() -> None:
    before = next(one for one in START.layout.lines if one.name == "s2")
    turned = Line(name="new", piece=before.piece, start=before.end, end=before.start, via=before.via[::-1])
    lines = tuple(turned if one.name == "s2" else one for one in START.layout.lines)
    changed = START.with_layout(START.layout.model_copy(update={"lines": lines}))
    found = continue_plan(SoFar(START, done_before("cut:s6")), changed)
    assert found.unpick == ()
    assert found.kept == {"s1", "s3", "new"}
    assert left_to_sew(found) == ["s6", "s5", "s4"]


def test_a_thread_that_is_still_in_the_needle_is_tied_off() -> None:
    """s3 and s1 are sewn, s2 is next, and s2 changes."""
    changed = with_line(START, "s2", via=((80.0, 20.0),))
    found = continue_plan(SoFar(START, done_before("sew:s2")), changed)
    assert found.unpick == ()
    first = found.plan.stages[0]
    assert [step.action for step in first.steps] == ["look", "tie"]
    assert found.kept == {"s1", "s3"}


def test_in_a_connection_that_did_not_change_a_thread_goes_on_where_it_is() -> None:
    changed = with_line(START, "s4", via=((130.0, 30.0), (130.0, 85.0)))
    done = done_before("sew:s2")
    found = continue_plan(SoFar(START, done), changed)
    progress = progress_of(found.plan, [], kept=found.kept, done=found.done)
    assert progress.now is not None
    assert progress.now.key == "sew:s2"


def test_sewn_lines_that_join_what_a_new_circuit_keeps_apart_come_out() -> None:
    """The circuit changes: L1.plus no longer belongs to the + side but to a connection of its own."""
    connections = tuple(
        one.model_copy(update={"terminals": tuple(t for t in one.terminals if t != "L1.plus")})
        if one.name == "plus"
        else one
        for one in START.project.connections
    )
    other = connections[0].model_copy(update={"name": "other", "terminals": ("L1.plus",)})
    project = START.project.model_copy(update={"connections": (*connections, other)})
    changed = START.model_copy(update={"project": project})
    found = continue_plan(SoFar(START, done_before("cut:s6")), changed)
    assert [one.line for one in found.unpick] != []
    assert all("must not touch now" in str(one.why) for one in found.unpick)


def test_what_was_to_be_unpicked_is_not_forgotten_at_the_next_change() -> None:
    once = with_line(START, "s2", via=((80.0, 20.0),))
    twice = with_line(once, "s4", via=((130.0, 30.0), (130.0, 85.0)))
    first = continue_plan(SoFar(START, done_before("cut:s6")), once)
    second = continue_plan(SoFar(once, first.done, first.kept, first.unpick), twice)
    assert [one.line for one in second.unpick] == ["s2"]
    assert second.kept == first.kept
    done = first.done | {step.key for step in first.plan.stages[0].steps}
    third = continue_plan(SoFar(once, done, first.kept, first.unpick), twice)
    assert third.unpick == ()
    assert left_to_sew(third) == ["s2", "s6", "s5", "s4"]


def moved_at_random(document: Document, dice: random.Random) -> Document:
    name = dice.choice([one.name for one in document.layout.lines])
    via = tuple((dice.uniform(20, 140), dice.uniform(15, 105)) for _ in range(dice.randint(0, 2)))
    return with_line(document, name, via=via)


@pytest.mark.parametrize("seed", range(10))
def test_every_line_is_sewn_once_whatever_changes_when(seed: int) -> None:
    """Through four changes at random times: in the end each line of the layout is sewn, and none twice."""
    dice = random.Random(seed)
    document = START if seed % 2 else porch()
    chapters: list[Chapter] = []
    for _ in range(4):
        chapters.append(Chapter(document, []))
        left = [step.key for _, step in follow(chapters).progress.left if not step.key.startswith("look:")]
        ticks = [Tick("step-done", "", NOW, step=key) for key in left[: dice.randint(0, len(left))]]
        chapters[-1] = Chapter(document, ticks)
        followed = follow(chapters)
        sewn = followed.progress.lines_done
        names = {course.name for course in document.layout.lines}
        assert sewn <= names
        planned = {name for run in followed.progress.plan.runs for name in run.lines}
        assert planned | followed.progress.kept == names
        assert not planned & followed.progress.kept
        document = moved_at_random(document, dice)
    # What is real on the fabric: lines sewn and never unpicked since.
    finished = follow([*chapters, Chapter(document, [])])
    assert finished.progress.lines_done <= {one.name for one in document.layout.lines}


def test_steps_ticked_before_a_change_do_not_count_for_a_line_of_the_same_name_after_it() -> None:
    ticks = [Tick("step-done", "", NOW, step=key) for key in keys_of(PLAN) if not key.startswith("look:")]
    changed = with_line(START, "s2", via=((80.0, 20.0),))
    followed = follow([Chapter(START, ticks), Chapter(changed, [])])
    assert "s2" not in followed.progress.lines_done
    now = followed.progress.now
    assert now is not None
    assert now.key == "look:mark" or now.key.startswith("unpick:")


@pytest.mark.parametrize("change", ["line", "part", "needle", "gone"])
def test_learners_can_read_what_to_do_first(change: str) -> None:
    changed, until = {
        "line": (with_line(START, "s2", via=((80.0, 20.0),)), "cut:s6"),
        "part": (with_place(START, "L1", x=112.0), "cut:s6"),
        "needle": (with_line(START, "s2", via=((80.0, 20.0),)), "sew:s2"),
        "gone": (with_line(START, "s5", start="S1.b"), "cut:s4"),
    }[change]
    first = continue_plan(SoFar(START, done_before(until)), changed).plan.stages[0]
    assert first.name == "unpick"
    texts = [str(step.text) for step in first.steps]
    assert {text: reading_grade(text) for text in texts if reading_grade(text) > 5} == {}


def test_nothing_accepted_is_nothing_to_follow() -> None:
    with pytest.raises(ValueError, match="No layout was accepted"):
        follow([])


# "I sewed it differently"


def rules(found: Iterable[Finding]) -> list[str]:
    return [one.rule for one in found]


def test_what_is_still_to_sew_is_no_fault() -> None:
    for count in range(len(START.layout.lines) + 1):
        sewn = {one.name for one in START.layout.lines[:count]}
        assert check_sewn(START, sewn).findings == ()
    assert "open" in rules(check(sewn_so_far(START, {"s1"})).findings)


def test_a_line_sewn_to_the_wrong_hole_is_found_once_its_connection_is_done() -> None:
    """s5 was sewn to S1.b, the far side of the switch, in place of S1.a."""
    real = sewn_differently(START, "s5", [(70, 75), (110, 75)], start="S1.b")
    assert check_sewn(real, {"s1", "s2", "s3"}).findings == ()
    # s4, which belongs to the connection that s5 now runs into, is still to sew, and is no fault.
    found = check_sewn(real, {"s1", "s2", "s3", "s5", "s6"})
    assert [one.rule for one in found.findings] == ["short", "open"]


def test_a_line_sewn_across_another_is_a_short_at_once() -> None:
    """s5 went over the + side: B1.n2 to S1.a by way of (60, 30), where the + side lies."""
    real = sewn_differently(START, "s5", [(80, 85), (80, 20), (60, 20)])
    assert check_sewn(real, {"s5", "s6"}).findings == ()
    assert "short" in rules(check_sewn(real, {"s1", "s2", "s3", "s5", "s6"}).findings)


def test_what_was_sewn_differently_stays_and_the_rest_is_planned_from_there() -> None:
    """s1 was sewn by a longer way, all of it sound; it is not to be unpicked."""
    real = sewn_differently(START, "s1", [(27, 20), (60, 20)])
    done = done_before("cut:s6")
    ticks = [Tick("step-done", "", NOW, step=key) for key in done if not key.startswith("look:")]
    assert [one.line for one in continue_plan(SoFar(START, done), real).unpick] == ["s1"]
    followed = follow([Chapter(START, ticks), Chapter(real, [], frozenset({"s1"}))])
    assert followed.continued is not None
    assert followed.continued.unpick == ()
    assert followed.progress.lines_done == {"s1", "s2", "s3"}
    assert [step.line for _, step in followed.progress.left if step.action == "sew"] == ["s6", "s5", "s4"]
    # It is measured again: what it should show has changed with its way.
    assert followed.progress.now is not None
    again = next(step for stage, step in followed.progress.left if step.action == "read")
    assert again.key == "read:along:s3"
    was, now = (next(r for r in plan.readings if r.key == again.key) for plan in (PLAN, followed.progress.plan))
    assert was.expected is not None
    assert now.expected is not None
    assert now.expected > was.expected


@pytest.mark.parametrize(
    ("name", "end", "words"),
    [
        ("s99", None, "no line s99"),
        ("s1", "Q9.plus", "Q9"),
        ("s1", "@nowhere", "nowhere"),
        ("s1", "nonsense", "nonsense"),
    ],
)
def test_what_cannot_be_sewn_is_refused(name: str, end: str | None, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        sewn_differently(START, name, [(60, 20)], end=end)


def test_lines_sewn_in_part_are_not_sewn() -> None:
    long = porch(settings={"working_mm": 210})
    plan = make_plan(long)
    cut = [run for run in plan.runs if any("~" in node for node in run.terminals)]
    assert cut, "a working length this short cuts lines at bends"
    part = cut[0].lines[-1]
    keys = [step.key for stage in plan.stages for step in stage.steps if step.action == "sew" and step.line == part]
    assert len(keys) > 1
    assert lines_sewn(plan, keys[:1]) == (frozenset(), frozenset({part}))
    assert lines_sewn(plan, keys) == (frozenset({part}), frozenset())
