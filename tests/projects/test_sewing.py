"""Lengths and minutes of one thread, and which connection a line is meant for."""

import pytest

from projects.circuit.fabric import lay_out
from projects.circuit.project import Thread
from projects.circuit.sewing import Habits, cut_mm, line_connections, run_minutes, take_up, working_mm
from tests.kits.plan_documents import document, line


def test_take_up_of_cloth_one_millimetre_thick_at_four_millimetres_is_a_quarter_more() -> None:
    """1 + T/p with T 1 mm, p 4 mm (derived from the running stitch, ISO 4915 type 209)."""
    assert take_up(1, 4) == 1.25


@pytest.mark.parametrize(("fabric", "pitch"), [(1, 0), (1, -1), (-0.1, 4)])
def test_take_up_refuses_what_is_no_cloth(fabric: float, pitch: float) -> None:
    with pytest.raises(ValueError, match="pitch must be above 0 mm"):
        take_up(fabric, pitch)


def test_a_thread_is_cut_for_path_anchors_start_and_end_in_every_strand() -> None:
    """Two strands × (100 × 1.2 + 3 × 30 + 50 + 150) = 2 × 410; in the hand, without anchors, 320."""
    assert cut_mm(100, 3, Thread(strands=2, take_up=1.2), Habits()) == pytest.approx(820)
    assert cut_mm(100, 3, Thread(strands=1, take_up=1.2), Habits()) == pytest.approx(410)
    assert working_mm(100, Thread(strands=2, take_up=1.2), Habits()) == pytest.approx(320)


def test_a_teachers_habits_are_used() -> None:
    habits = Habits(anchor_mm=10, start_mm=20, end_mm=30, stitch_seconds=6, anchor_seconds=60, look_seconds=0)
    assert cut_mm(100, 2, Thread(strands=1, take_up=1), habits) == pytest.approx(170)
    assert run_minutes(9, 100, 2, 5, habits) == pytest.approx(3 + 20 * 0.1 + 2)


def test_minutes_of_a_thread() -> None:
    """100 mm at 5 mm: 20 stitches of 10 s; two anchors of 45 s; a look of 30 s; 6 minutes for the first two threads."""
    assert run_minutes(2, 100, 2, 5, Habits()) == pytest.approx(6 + 20 * 10 / 60 + 2 * 45 / 60 + 0.5)
    assert run_minutes(3, 100, 2, 5, Habits()) == pytest.approx(3 + 20 * 10 / 60 + 2 * 45 / 60 + 0.5)


def test_minutes_stay_finite_for_an_absurd_stitch() -> None:
    assert run_minutes(1, 100, 2, 5e-324, Habits()) < 100


def test_a_line_is_meant_for_the_connection_of_its_ends_or_of_the_threads_at_its_joins() -> None:
    joins = [{"name": name, "piece": "front", "x": x, "y": 300} for x, name in enumerate(["j1", "j2", "j3", "j4"])]
    laid = lay_out(
        document(
            {"B1": "coin-holder", "L1": "light-red", "R1": "resistor-220"},
            {"plus": "B1.p1 L1.plus", "minus": "B1.n1 L1.minus"},
            {"B1": (100, 100), "L1": (300, 100), "R1": (300, 300)},
            [
                line("a", "@j1", "@j2"),
                line("b", "@j2", "L1.plus"),
                line("c", "R1.a", "B1.n1"),
                line("d", "B1.p1", "L1.minus"),
                line("e", "R1.b", "R1.a"),
                line("f", "@j3", "@j4"),
                line("g", "@j4", "@j4"),
            ],
            {"joins": joins},
        )
    )
    assert line_connections(laid) == {"a": "plus", "b": "plus", "c": "minus", "d": "plus", "e": "", "f": "", "g": ""}
