"""`manage.py step_sheet`: a PDF from a project file, its exit status, a file written whole or not at all."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from tests.kits.pdf_reading import page_sizes_mm, words
from tests.kits.sheets_by_hand import FIXTURE


def run(*arguments: object) -> tuple[int, str, str]:
    """Exit status, standard output, standard error."""
    out, err = StringIO(), StringIO()
    try:
        call_command("step_sheet", *map(str, arguments), stdout=out, stderr=err)
    except SystemExit as end:
        return (int(end.code or 0), out.getvalue(), err.getvalue())
    return (0, out.getvalue(), err.getvalue())


def broken(folder: Path) -> Path:
    """The fixture with a line left out: the circuit is open."""
    file = json.loads(FIXTURE.read_text(encoding="utf-8"))
    file["layout"]["lines"] = [line for line in file["layout"]["lines"] if line["name"] != "s4"]
    path = folder / "broken.json"
    path.write_text(json.dumps(file), encoding="utf-8")
    return path


def test_a_sound_layout_is_written_and_passes(tmp_path: Path) -> None:
    status, out, err = run(FIXTURE, "-o", tmp_path / "out.pdf")
    assert (status, out, err) == (0, f"Wrote {tmp_path / 'out.pdf'}.\n", "")
    written = (tmp_path / "out.pdf").read_bytes()
    found = words(written)
    assert "Lantern patch" in found
    assert "Threads to cut" in found
    assert "Materials list" in found
    assert "Kit ______ · from a file" in found
    assert page_sizes_mm(written)[0] == pytest.approx((210, 297), abs=0.1)
    assert [path.name for path in tmp_path.iterdir()] == ["out.pdf"], "no draft is left behind"


def test_paper_units_and_a_class(tmp_path: Path) -> None:
    run(FIXTURE, "-o", tmp_path / "out.pdf", "--paper", "letter", "--units", "inch", "--kits", "12")
    written = (tmp_path / "out.pdf").read_bytes()
    assert page_sizes_mm(written)[0] == pytest.approx((215.9, 279.4), abs=0.1)
    assert " in " in words(written)
    assert "12 kits, with spares" in words(written)


def test_a_layout_with_a_stop_is_written_with_a_banner_and_does_not_pass(tmp_path: Path) -> None:
    status, out, err = run(broken(tmp_path), "-o", tmp_path / "out.pdf")
    assert (status, err) == (1, "")
    assert "Do not sew this layout yet" in out
    assert "Stop: do not sew this yet" in words((tmp_path / "out.pdf").read_bytes())


def test_json_says_the_same(tmp_path: Path) -> None:
    status, out, _ = run(broken(tmp_path), "-o", tmp_path / "out.pdf", "--json")
    answer = json.loads(out)
    assert status == 1
    assert answer["pass"] is False
    assert answer["stops"] >= 1
    assert answer["output"] == str(tmp_path / "out.pdf")


def test_a_bad_file_is_refused_with_one_line_and_nothing_is_written(tmp_path: Path) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text('{"format": "tieoff/1"}', encoding="utf-8")
    old = tmp_path / "out.pdf"
    old.write_bytes(b"before")
    status, out, err = run(bad, "-o", old)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert err.startswith("project")
    assert old.read_bytes() == b"before"


@pytest.mark.parametrize("name", ["no/such/folder/out.pdf", "x" * 300 + ".pdf", "."])
def test_a_place_that_cannot_be_written_is_refused_with_one_line(tmp_path: Path, name: str) -> None:
    status, _, err = run(FIXTURE, "-o", tmp_path / name)
    assert (status, err.count("\n")) == (2, 1)
    assert "it cannot be written" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("kits", ["0", "-3", "many", "1001"])
def test_a_number_of_kits_that_makes_no_sense_is_refused(tmp_path: Path, kits: str) -> None:
    with pytest.raises(CommandError, match="kits"):
        run(FIXTURE, "-o", tmp_path / "out.pdf", f"--kits={kits}")
