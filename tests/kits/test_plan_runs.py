"""Threads that would be too long, covers, sides, seams: what the steps say."""

import random
import re
from itertools import pairwise

import networkx as nx
import pytest

from kits.plan.make import make_plan
from kits.plan.values import Plan, Step
from projects.circuit import project_file
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.sewing import Habits, line_connections
from projects.circuit.trails import fewest_trails
from tests.kits.plan_documents import LANTERN, dense, document, line, porch

# A working length of 600 mm leaves (600 − 50 − 150) / 1.2 = 333.3 mm of path; 1.5 times as long, 583.3 mm.


def steps_of(plan: Plan) -> list[Step]:
    return [step for stage in plan.stages for step in stage.steps]


def at(plan: Plan, key: str) -> int:
    return [step.key for step in steps_of(plan)].index(key)


def resistors(*lines: dict[str, object], **places: tuple[float, float]) -> Document:
    """Resistors in a row, all terminals A in one connection."""
    terminals = " ".join(f"{ref}.a" for ref in places)
    return document(dict.fromkeys(places, "resistor-220"), {"all": terminals}, places, list(lines))


def row(*xs: float, via: tuple[tuple[float, float], ...] = ()) -> Document:
    places = {f"R{number}": (x, 100.0) for number, x in enumerate(xs, start=1)}
    lines = [line(f"s{n}", f"R{n}.a", f"R{n + 1}.a", *via) for n in range(1, len(xs))]
    return resistors(*lines, **places)


def test_a_long_run_is_split_at_a_terminal_and_says_why() -> None:
    """Lines of 200, 100 and 200 mm: 300 fit into one thread, 500 do not."""
    runs = make_plan(row(100, 300, 400, 600)).runs
    assert [(run.terminals, run.lines) for run in runs] == [
        (("R1.a", "R2.a", "R3.a"), ("s1", "s2")),
        (("R3.a", "R4.a"), ("s3",)),
    ]
    # 500 mm × 1.2 + 200 mm = 800 mm
    why = "One thread would be 80 cm long when folded. A hand can hold 60 cm. So there are 2 threads."
    assert [str(run.split) for run in runs] == [why, why]


def test_a_run_just_as_long_as_the_hand_can_hold_is_whole() -> None:
    assert [run.split for run in make_plan(row(100, 433)).runs] == [None]
    assert len(make_plan(row(100, 266, 433)).runs) == 1
    assert len(make_plan(row(100, 267, 434)).runs) == 2


@pytest.mark.parametrize(("length", "threads"), [(580, 1), (590, 2)])
def test_a_single_line_is_cut_at_a_bend_only_past_one_and_a_half_times(length: float, threads: int) -> None:
    runs = make_plan(row(100, 100 + length, via=((100 + length / 2, 100),))).runs
    assert len(runs) == threads
    if threads == 2:
        assert [run.terminals for run in runs] == [("R1.a", "s1~1"), ("s1~1", "R2.a")]
        assert [run.lines for run in runs] == [("s1",), ("s1",)]
        assert sum(run.path_mm for run in runs) == pytest.approx(length)


def test_a_line_without_a_bend_is_never_cut() -> None:
    (run,) = make_plan(row(100, 1100)).runs
    assert (run.path_mm, run.split) == (1000, None)


def test_bends_that_no_thread_ends_at_are_no_places_of_the_run() -> None:
    """Bends every 100 mm of 1000: three hundreds are the most that one thread can sew."""
    runs = make_plan(row(100, 1100, via=tuple((100.0 * n, 100.0) for n in range(2, 11)))).runs
    assert [run.terminals for run in runs] == [
        ("R1.a", "s1~3"),
        ("s1~3", "s1~6"),
        ("s1~6", "s1~9"),
        ("s1~9", "R2.a"),
    ]
    plan = make_plan(row(100, 1100, via=tuple((100.0 * n, 100.0) for n in range(2, 11))))
    texts = {step.key: str(step.text) for step in steps_of(plan)}
    assert texts["end:s1:s1~3"] == "Stop at bend 3 of line s1. The next thread goes on from here."
    assert texts["start:s1~3:s1~3"] == "Start at bend 3 of line s1. Sew two stitches round the thread there."
    assert [(spot.x, spot.y) for spot in steps_of(plan)[at(plan, "sew:s1~9")].at] == [(1000, 100), (1092, 100)]


def test_a_star_takes_half_as_many_threads_as_it_has_odd_ends() -> None:
    joins = [{"name": "j", "piece": "front", "x": 200, "y": 200}]
    places = {f"R{n}": (150 + 30 * n, 150 + 20 * n) for n in range(4)}
    star = document(
        dict.fromkeys(places, "resistor-220"),
        {"all": " ".join(f"{ref}.a" for ref in places)},
        places,
        [line(f"s{n}", "@j", f"R{n}.a") for n in range(4)],
        {"joins": joins},
    )
    plan = make_plan(star)
    assert [(run.terminals, run.split) for run in plan.runs] == [
        (("R0.a", "@j", "R1.a"), None),
        (("R2.a", "@j", "R3.a"), None),
    ]
    texts = {step.key: str(step.text) for step in steps_of(plan)}
    assert texts["pass:s0:@j"] == "Go on past meeting point j. Do not cut the thread."
    assert texts["pass:s2:@j"] == "At meeting point j, sew one stitch round the thread there. Then go on."


@pytest.mark.parametrize("seed", range(40))
def test_a_tangle_is_sewn_once_in_as_few_threads_as_can_be(seed: int) -> None:
    tangle = dense(seed)
    laid = lay_out(tangle)
    meant_for = line_connections(laid)
    # A hand that can hold any thread: no run is ever split.
    settings = tangle.project.settings.model_copy(update={"working_mm": 1e9})
    free = tangle.model_copy(update={"project": tangle.project.model_copy(update={"settings": settings})})
    runs, short = make_plan(free).runs, make_plan(tangle).runs
    assert sorted(line for run in runs for line in run.lines) == sorted(meant_for)
    for connection in set(meant_for.values()):
        graph: nx.MultiGraph = nx.MultiGraph()
        for course in laid.courses:
            if meant_for[course.name] == connection:
                graph.add_edge(course.line.start, course.line.end, key=course.name)
        assert len([run for run in runs if run.connection == connection]) == fewest_trails(graph)
    ends = {course.name: {course.line.start, course.line.end} for course in laid.courses}
    for run in runs:
        for name, (a, b) in zip(run.lines, pairwise(run.terminals), strict=True):
            assert {a, b} == ends[name]
    assert sum(run.path_mm for run in short) == pytest.approx(sum(run.path_mm for run in runs))
    for run in short:
        # Longer than the hand can hold only where it is one hop between two terminals.
        if run.path_mm * 1.2 + 200 > 600 + 1e-6:
            assert not any("." in node for node in run.terminals[1:-1])


@pytest.mark.parametrize("seed", range(5))
def test_step_keys_do_not_depend_on_the_order_of_lines_or_parts(seed: int) -> None:
    tangle = dense(seed)
    lines = list(tangle.layout.lines)
    random.Random(seed).shuffle(lines)
    shuffled = tangle.with_layout(tangle.layout.model_copy(update={"lines": tuple(lines)}))
    assert [step.key for step in steps_of(make_plan(shuffled))] == [step.key for step in steps_of(make_plan(tangle))]


def crossing(*covers: dict[str, object]) -> Document:
    """Two connections that cross at (200, 100)."""
    return document(
        dict.fromkeys(["R1", "R2", "R3", "R4"], "resistor-220"),
        {"first": "R1.a R2.a", "second": "R3.a R4.a"},
        {"R1": (108, 100), "R2": (308, 100), "R3": (208, 50), "R4": (208, 150)},
        [line("s1", "R1.a", "R2.a"), line("s2", "R3.a", "R4.a")],
        {"covers": list(covers)},
    )


def test_a_cover_is_sewn_after_the_line_beneath_and_before_the_line_over_it_which_floats() -> None:
    plan = make_plan(crossing({"piece": "front", "x": 200, "y": 100, "radius": 6}))
    assert at(plan, "sew:s1") < at(plan, "cover:s2:1") == at(plan, "sew:s2") - 1
    texts = {step.key: str(step.text) for step in steps_of(plan)}
    assert texts["cover:s2:1"] == (
        "Lay the cover over line s1. Sew its rim down with plain thread. Line s2 will go over it."
    )
    assert "Go over the cover in one long stitch." in texts["sew:s2"]
    assert "cover" not in texts["sew:s1"]


def test_a_cover_that_no_second_line_needs_is_not_sewn() -> None:
    plan = make_plan(crossing({"piece": "front", "x": 150, "y": 100, "radius": 6}))
    assert not [step for step in steps_of(plan) if step.action == "cover"]


@pytest.mark.parametrize("seed", range(20))
def test_covers_come_before_the_lines_over_them_in_a_tangle(seed: int) -> None:
    plan = make_plan(dense(seed))
    steps = steps_of(plan)
    for number, step in enumerate(steps):
        if step.action == "cover":
            under = re.search(r"over line (\w+)\.", str(step.text))
            assert under is not None
            assert any(one.action == "sew" and one.line == under[1] for one in steps[:number])
            after = next(one for one in steps[number:] if one.action == "sew")
            assert after.line == step.line
            assert "Go over the cover" in str(after.text)


def test_parts_on_the_inside_and_seam_crossings_are_said() -> None:
    toy = document(
        {"B1": "coin-holder", "X1": "seam-crossing", "L1": "light-red"},
        {"plus": "B1.p1 X1.a X1.b L1.plus"},
        {"L1": (100, 100)},
        [line("s1", "B1.p1", "X1.a"), line("s2", "X1.b", "L1.plus", piece="back")],
        {
            "places": [
                {"ref": "B1", "piece": "front", "x": 100, "y": 100, "side": "inside"},
                {"ref": "X1", "piece": "front", "x": 200, "y": 100, "terminal": "a"},
                {"ref": "X1", "piece": "back", "x": 10, "y": 100, "terminal": "b"},
                {"ref": "L1", "piece": "back", "x": 100, "y": 100},
            ]
        },
        pieces=[
            {"name": "front", "outline": [[0, 0], [300, 0], [300, 200], [0, 200]]},
            {"name": "back", "outline": [[0, 0], [300, 0], [300, 200], [0, 200]]},
        ],
    )
    plan = make_plan(toy)
    steps = {step.key: step for step in steps_of(plan)}
    assert str(steps["start:s1:B1.p1"].text) == (
        "Start at B1 (+, upper). It is on the inside. Make three tight stitches in the hole."
    )
    assert steps["start:s1:B1.p1"].side == "inside"
    assert str(steps["end:s1:X1.a"].text).endswith("The next piece goes on from the seam.")
    assert str(steps["mark:part:B1"].text).startswith("B1 goes on the inside of the front.")
    assert str(steps["mark:part:X1.b"].text) == (
        "X1 (B) goes on the back. Its middle is 1.0 cm from the left edge and 10.0 cm from the top."
    )
    assert str(steps["close"].text).startswith("Sew the pieces shut")
    assert [run.terminals for run in plan.runs] == [("B1.p1", "X1.a"), ("X1.b", "L1.plus")]
    # What must not touch a thread lies on the piece that it is sewn on.
    apart = [(reading.start, reading.end) for reading in plan.readings if reading.key.startswith("read:apart")]
    assert apart == [("L1.plus", "L1.minus")]


def test_free_holes_are_tacked_and_knots_sealed_after_the_test() -> None:
    plan = make_plan(porch())
    steps = steps_of(plan)
    tacked = [(step.key, str(step.text)) for step in steps if step.action == "tack"]
    assert tacked == [("tack:B1", "Tack the free holes of B1 with plain thread: +, −.")]
    assert at(plan, "test:cell-in:B1") < at(plan, "tack:B1") < at(plan, "seal")


def test_the_cell_stays_out_between_trying_and_the_test() -> None:
    plan = make_plan(porch())
    first, last = at(plan, "sew:ready"), at(plan, "test:cell-in:B1")
    assert at(plan, "try:cell-out:B1") < first < at(plan, "read:whole:B1") < at(plan, "look:test") < last
    assert all("Put the battery in" not in str(step.text) for step in steps_of(plan)[first:last])


@pytest.mark.parametrize(("strands", "words"), [(1, "Knot one end"), (2, "in half"), (3, "3 equal parts")])
def test_the_knot_suits_the_strands(strands: int, words: str) -> None:
    plan = make_plan(porch(thread={"strands": strands}))
    assert words in next(str(step.text) for step in steps_of(plan) if step.action == "knot")


def test_a_teachers_habits_reach_the_plan() -> None:
    lantern = project_file.read(LANTERN.read_bytes())
    slow, usual = make_plan(lantern, Habits(stitch_seconds=20, anchor_mm=60)), make_plan(lantern)
    assert slow.runs[2].minutes - usual.runs[2].minutes == pytest.approx(17.8 / 6)
    assert slow.runs[2].cut_mm - usual.runs[2].cut_mm == pytest.approx(2 * 2 * 30)


def syllables(word: str) -> int:
    """Groups of vowels, without a silent e at the end."""
    groups = len(re.findall(r"[aeiouy]+", word))
    silent = word.endswith("e") and not word.endswith(("le", "ee")) and groups > 1
    return max(1, groups - silent)


def grade(text: str) -> float:
    """0.39 words/sentences + 11.8 syllables/words − 15.59 (the known reading grade formula)."""
    words = re.findall(r"[a-z']+", text.lower())
    sentences = max(1, len(re.findall(r"[.?:!]+(?:\s|$)", text)))
    return 0.39 * len(words) / sentences + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def test_the_formula() -> None:
    assert pytest.approx(13.08) == 0.39 * 13 + 11.8 * 2 - 15.59
    assert grade("The cat sat on the mat.") == pytest.approx(-1.45)


@pytest.mark.parametrize("build", [porch, crossing, lambda: dense(3), lambda: project_file.read(LANTERN.read_bytes())])
def test_steps_read_at_grade_six_or_below(build) -> None:
    texts = {str(step.text) for step in steps_of(make_plan(build()))}
    assert {text: grade(text) for text in texts if grade(text) > 6} == {}
    assert sum(map(grade, texts)) / len(texts) < 4
