"""The command `check_layout`, run as a teacher runs it."""

import io
import json
from pathlib import Path

import pytest
from django.core.management import call_command

from projects.circuit.project_file import write
from tests.checks.cases import document

FIXTURE = Path(__file__).parents[1] / "cases" / "lantern-patch.json"
CROSSED = {"base": "lamp", "lines": {"a": ["B1.p1", [100, 160], "L1.plus"]}}


def run(*arguments: str) -> tuple[int, str, str]:
    """Exit code, output and errors."""
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("check_layout", *arguments, stdout=out, stderr=err)
    except SystemExit as stopped:
        return int(stopped.code or 0), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_a_sound_file_passes() -> None:
    code, out, err = run(str(FIXTURE), "--json")
    assert (code, err) == (0, "")
    told = json.loads(out)
    assert told["pass"] is True
    assert told["complete"] is True
    assert [(one["rule"], one["level"]) for one in told["findings"]] == [("old-battery", "note")]
    assert [one["name"] for one in told["situations"]] == [
        "S1=off, fresh",
        "S1=off, used",
        "S1=on, fresh",
        "S1=on, used",
    ]
    on = told["situations"][2]
    assert set(on) == {"name", "cell", "volts", "amps", "pin_amps", "hours"}
    assert 0.001 < on["amps"]["L1"] < 0.003
    assert on["hours"] == pytest.approx(200 / (1000 * on["amps"]["B1"]))
    assert told["sewn"] == [["B1.n1", "B1.n2", "S1.a"], ["B1.p1", "B1.p2", "L1.plus"], ["L1.minus", "S1.b"]]


def test_a_file_with_a_stop_does_not(tmp_path: Path) -> None:
    path = tmp_path / "crossed.json"
    path.write_bytes(_bytes(CROSSED))
    code, out, _ = run(str(path), "--json")
    assert code == 1
    assert json.loads(out)["pass"] is False


def test_plain_text_lists_by_level_and_says_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "crossed.json"
    path.write_bytes(_bytes({**CROSSED, "lines": {**CROSSED["lines"], "d": None}}))
    code, out, _ = run(str(path))
    assert code == 1
    lines = out.splitlines()
    assert lines[0] == "Put this right:"
    assert any(line.startswith("  short: ") for line in lines)
    assert lines.index("Look here:") > 1
    assert lines[-1] == "Do not sew yet."


def test_it_says_when_not_all_situations_were_solved(tmp_path: Path) -> None:
    path = tmp_path / "many.json"
    switches = {f"S{i}": ["slide-switch"] for i in range(1, 7)}
    path.write_bytes(_bytes({"base": "lamp", "parts": switches}))
    _, out, _ = run(str(path))
    assert "We tried 7, one change at a time." in out
    _, out, _ = run(str(FIXTURE))
    assert "one change at a time" not in out


def test_a_look_alone_passes(tmp_path: Path) -> None:
    path = tmp_path / "look.json"
    path.write_bytes(_bytes({"base": "lamp", "lines": {"d": None}}))
    code, out, _ = run(str(path))
    assert code == 0
    assert "unanchored" in out


@pytest.mark.parametrize("text", ["", "{", '{"format": "tieoff/1"}'])
def test_a_bad_file_is_refused_in_one_line(tmp_path: Path, text: str) -> None:
    path = tmp_path / "bad.json"
    path.write_text(text)
    code, out, err = run(str(path), "--json")
    assert (code, out) == (2, "")
    assert len(err.strip().splitlines()) == 1


def _bytes(case: dict[str, object]) -> bytes:
    return write(document(case))
