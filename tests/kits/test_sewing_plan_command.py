"""manage.py sewing_plan: the contract's JSON, plain words, and how it exits."""

import io
import json
from pathlib import Path

import pytest
from django.core.management import call_command

from projects.circuit import project_file
from projects.circuit.document import Document
from tests.kits.plan_documents import LANTERN, document, line, porch


def run(*arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("sewing_plan", *arguments, stdout=out, stderr=err)
    except SystemExit as end:
        return int(str(end.code)), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def kept(tmp_path: Path, one: Document) -> str:
    (tmp_path / "project.json").write_bytes(project_file.write(one))
    return str(tmp_path / "project.json")


def test_the_json_has_the_keys_of_the_contract() -> None:
    code, out, err = run(str(LANTERN), "--json")
    plan = json.loads(out)
    assert (code, err) == (0, "")
    assert list(plan) == ["format", "runs", "stages", "readings", "materials", "minutes"]
    assert plan["format"] == "tieoff-plan/1"
    assert list(plan["runs"][0]) == ["name", "connection", "terminals", "lines", "path_mm", "cut_mm", "minutes"]
    assert list(plan["stages"][0]) == ["name", "steps", "minutes"]
    assert list(plan["stages"][0]["steps"][0]) == ["key", "action", "text", "run", "line", "terminal", "at", "minutes"]
    assert list(plan["readings"][0]) == ["from", "to", "kind", "state", "expected", "min", "max"]
    assert plan["minutes"] == pytest.approx(sum(stage["minutes"] for stage in plan["stages"]))
    sew = next(step for stage in plan["stages"] for step in stage["steps"] if step["key"] == "sew:s2")
    assert sew["at"] == [{"piece": "front", "x": 60, "y": 30}, {"piece": "front", "x": 102, "y": 30}]


def test_the_plain_words_name_threads_steps_and_materials() -> None:
    code, out, _ = run(str(LANTERN))
    assert code == 0
    assert "Thread 1: plus, B1.p2 → B1.p1 → @j1 → L1.plus; cut 87 cm\n" in out
    assert "\nSew the + side (16 min)\n[ ] Is the battery out?" in out
    assert "\n239 cm  conductive thread\n" in out
    assert out.endswith("69 min in all\n")


def test_a_split_is_explained_in_both_forms(tmp_path: Path) -> None:
    file = kept(tmp_path, porch())
    _, words, _ = run(file)
    _, out, _ = run(file, "--json")
    why = "One thread would be 125 cm long when folded. A hand can hold 60 cm. So there are 4 threads."
    assert [one["split"] for one in json.loads(out)["runs"] if "split" in one] == [why] * 4
    assert why in words


def test_a_connection_in_pieces_exits_1(tmp_path: Path) -> None:
    lantern = project_file.read(LANTERN.read_bytes())
    lines = tuple(one for one in lantern.layout.lines if one.name != "s2")
    file = kept(tmp_path, lantern.with_layout(lantern.layout.model_copy(update={"lines": lines})))
    code, out, err = run(file)
    assert (code, err) == (1, "")
    assert "plus is not joined up yet.\n" in out
    assert run(file, "--json")[0] == 1


def test_a_line_left_out_exits_1(tmp_path: Path) -> None:
    half = document({"L1": "light-red", "R1": "resistor-220"}, {}, {"L1": (100, 100)}, [line("s1", "L1.plus", "R1.a")])
    code, out, _ = run(kept(tmp_path, half))
    assert code == 1
    assert "Line s1 is left out. R1.a has no place yet.\n" in out


def test_terminals_joined_inside_a_part_need_no_line(tmp_path: Path) -> None:
    joined = document({"B1": "coin-holder"}, {"plus": "B1.p1 B1.p2"}, {"B1": (100, 100)}, [])
    assert run(kept(tmp_path, joined))[0] == 0


def test_a_refused_file_exits_2_with_one_line(tmp_path: Path) -> None:
    (tmp_path / "bad.json").write_text('{"format": "tieoff/1"}')
    code, out, err = run(str(tmp_path / "bad.json"))
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
