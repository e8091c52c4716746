"""The plan of the lantern patch, every figure worked out by hand beside it."""

import math

import pytest

from kits.plan.make import make_plan
from projects.circuit import project_file
from tests.kits.plan_documents import LANTERN

PLAN = make_plan(project_file.read(LANTERN.read_bytes()))

# The terminals: B1.p1 (27, 54), B1.p2 (27, 66), B1.n1 (53, 54), B1.n2 (53, 66); L1.plus (102, 30), L1.minus (118, 30);
# S1.a (102, 85), S1.b (118, 85).
S1_MM = 24 + 33  # (27, 54) up to (27, 30), then to the join at (60, 30)
S2_MM = 42  # (60, 30) to (102, 30)
S3_MM = 2 * math.hypot(7, 6)  # (27, 54) over (20, 60) to (27, 66)
S4_MM = 17 + 55 + 17  # (118, 30) to (135, 30), down to (135, 85), back to (118, 85)
S5_MM = 32 + 19 + 17  # (102, 85) to (70, 85), up to (70, 66), to (53, 66)
S6_MM = 2 * math.hypot(7, 6)

OHMS_PER_MM = 30 / 1000 * 1.2 / 2  # 30 ohm a metre, take-up 1.2, two strands


def test_three_threads_sew_the_six_lines_each_from_the_cell_where_it_can() -> None:
    assert [(run.name, run.connection, run.terminals, run.lines, run.split) for run in PLAN.runs] == [
        ("t1", "plus", ("B1.p2", "B1.p1", "@j1", "L1.plus"), ("s3", "s1", "s2"), None),
        ("t2", "minus", ("B1.n1", "B1.n2", "S1.a"), ("s6", "s5"), None),
        ("t3", "middle", ("S1.b", "L1.minus"), ("s4",), None),
    ]


def test_lengths_to_cut() -> None:
    """Two strands of path × 1.2, 30 mm for each anchor, 50 mm to start and 150 mm to end; a join is no anchor."""
    assert [run.path_mm for run in PLAN.runs] == pytest.approx([S3_MM + S1_MM + S2_MM, S6_MM + S5_MM, S4_MM])
    assert [run.cut_mm for run in PLAN.runs] == pytest.approx(
        [
            2 * ((S3_MM + S1_MM + S2_MM) * 1.2 + 3 * 30 + 200),
            2 * ((S6_MM + S5_MM) * 1.2 + 3 * 30 + 200),
            2 * (89 * 1.2 + 2 * 30 + 200),
        ]
    )
    assert PLAN.runs[2].cut_mm == pytest.approx(733.6)
    cut = [str(step.text) for stage in PLAN.stages for step in stage.steps if step.action == "cut"]
    assert cut == ["Thread 1: cut 87 cm of thread.", "Thread 2: cut 79 cm of thread.", "Thread 3: cut 74 cm of thread."]


def test_minutes_of_the_last_thread() -> None:
    """89 mm are 17.8 stitches of 10 s; two anchors of 45 s; 3 minutes of handling; 30 s to look at both sides."""
    assert PLAN.runs[2].minutes == pytest.approx(3 + 17.8 / 6 + 1.5 + 0.5)


def test_stages() -> None:
    assert [(stage.name, stage.kinds, stage.connections, stage.look) for stage in PLAN.stages] == [
        ("mark", ("mark",), (), True),
        ("try it out", ("try",), (), False),
        ("positive side", ("sew",), ("plus",), False),
        ("negative side", ("sew",), ("minus",), False),
        ("middle", ("sew",), ("middle",), False),
        ("test", ("test",), (), True),
        ("close and finish", ("finish",), (), False),
        ("care", ("care",), (), False),
    ]


def test_readings() -> None:
    """Along a thread: its ohms, and 0.5 ohm for each end of a line at a terminal (joined terminals are one place).

    The spread of the thread is 30 %, that of the contacts none; the leads add up to 0.5 ohm.
    """
    along = {
        # s1 ends at B1.p1, s2 at L1.plus; s3 joins what the holder joins anyway.
        ("B1.p2", "L1.plus"): (OHMS_PER_MM * (S1_MM + S2_MM), 2 * 0.5),
        ("B1.n1", "S1.a"): (OHMS_PER_MM * S5_MM, 2 * 0.5),
        ("S1.b", "L1.minus"): (OHMS_PER_MM * S4_MM, 2 * 0.5),
    }
    assert pytest.approx(1.782) == OHMS_PER_MM * (S1_MM + S2_MM)  # 99 mm × 0.018 ohm
    taken = {(one.start, one.end): one for one in PLAN.readings if one.kind == "ohms" and one.max is not None}
    assert taken.keys() == along.keys()
    for ends, (thread, contacts) in along.items():
        assert taken[ends].expected == pytest.approx(thread + contacts)
        assert taken[ends].min == pytest.approx(0.7 * thread + contacts)
        assert taken[ends].max == pytest.approx(1.3 * thread + contacts + 0.5)
        assert (taken[ends].kind, taken[ends].state) == ("ohms", "cell out")


def test_what_must_not_touch_reads_open() -> None:
    """A light is open to a meter, and so is a switch in its first position; so is the whole before the cell goes in."""
    apart = [(one.stage, one.start, one.end, one.expected, one.min) for one in PLAN.readings if one.max is None]
    assert apart == [
        ("positive side", "L1.plus", "L1.minus", None, 20_000),
        ("negative side", "S1.a", "S1.b", None, 20_000),
        ("middle", "L1.minus", "L1.plus", None, 20_000),
        ("test", "B1.p1", "B1.n1", None, 20_000),
    ]


def test_materials() -> None:
    found = {one.name: (one.amount, one.unit, one.price, one.refs) for one in PLAN.materials}
    cut_mm = sum(run.cut_mm for run in PLAN.runs)
    assert found["Sew-on holder, 20 mm coin cell"] == (1, "piece", pytest.approx(12 / 10), ("B1",))
    assert found["conductive thread"] == (pytest.approx(cut_mm), "mm", pytest.approx(cut_mm / 20_000 * 6), ())
    assert found["felt, A5 sheet"] == (1, "sheet", pytest.approx(0.6), ())
    assert found["coin battery, 20 mm, 3 V"] == (1, "piece", pytest.approx(0.5), ())
    assert len(found) == 6


def test_steps_of_the_first_thread() -> None:
    steps = [(step.key, step.action) for step in PLAN.stages[2].steps]
    assert steps == [
        ("sew:ready", "look"),
        ("cut:s3", "cut"),
        ("knot:s3", "knot"),
        ("start:s3:B1.p2", "anchor"),
        ("sew:s3", "sew"),
        ("pass:s3:B1.p1", "pass"),
        ("sew:s1", "sew"),
        ("pass:s1:@j1", "pass"),
        ("sew:s2", "sew"),
        ("end:s2:L1.plus", "anchor"),
        ("turn:s2", "turn"),
        ("tie:s2", "tie"),
        ("trim:s2", "trim"),
        ("read:along:s3", "read"),
        ("read:apart:plus:L1.minus", "read"),
    ]


def test_a_step_says_where_on_the_fabric_it_is() -> None:
    steps = {step.key: step for stage in PLAN.stages for step in stage.steps}
    assert [(spot.x, spot.y) for spot in steps["sew:s1"].at] == [(27, 54), (27, 30), (60, 30)]
    assert steps["sew:s1"].line == "s1"
    assert steps["end:s2:L1.plus"].terminal == "L1.plus"
    assert str(steps["start:s3:B1.p2"].text).startswith("Start at B1 (+, lower). Come up from the inside.")
