"""The commands on files: what they print, where, and how they exit."""

import argparse
import io
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from projects.circuit.document import Document
from projects.circuit.json_text import MAX_BYTES
from projects.circuit.project_file import Refusal
from projects.circuit.text import msg
from projects.file_command import Answer, FileCommand, read_named

LANTERN = Path(__file__).parent.parent / "cases" / "lantern-patch.json"


class CountLines(FileCommand):
    help = "Counts the lines of a layout."

    def add_options(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--most", type=int, default=10)

    def respond(self, document: Document, options: Mapping[str, Any]) -> Answer:
        count = len(document.layout.lines)
        if options["most"] < 0:
            raise Refusal("--most", msg("it is below zero"), msg("zero or more"))
        return Answer(f"{count} lines", {"lines": count, "title": document.project.title}, count <= options["most"])


def run(*arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command(CountLines(stdout=out, stderr=err), *arguments)
    except SystemExit as end:
        return int(str(end.code)), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_a_file_that_passes_is_answered_in_plain_words() -> None:
    assert run(str(LANTERN)) == (0, "6 lines\n", "")


def test_a_file_that_does_not_pass_is_still_answered_and_exits_1() -> None:
    assert run(str(LANTERN), "--most=5") == (1, "6 lines\n", "")


def test_json_is_printed_on_demand() -> None:
    code, out, err = run(str(LANTERN), "--json")
    assert (code, err) == (0, "")
    assert json.loads(out) == {"lines": 6, "title": "Lantern patch"}


def test_a_dash_reads_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(LANTERN.read_bytes())))
    assert run("-") == (0, "6 lines\n", "")


def test_an_endless_input_is_cut_off_just_past_the_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(open("/dev/zero", "rb")))  # noqa: SIM115
    assert len(read_named("-")) == MAX_BYTES + 1


@pytest.mark.parametrize(
    ("content", "start"),
    [
        (b"{}", "format: "),
        (b"\xff", "file: "),
        (b'{"format": "tieoff/1", "project": {"title": "a\\nb", "par\\nts": 1}}', "project.title: "),
        (b" " * (MAX_BYTES + 1), "file: "),
    ],
)
def test_a_refused_file_exits_2_with_one_line(tmp_path: Path, content: bytes, start: str) -> None:
    file = tmp_path / "bad.json"
    file.write_bytes(content)
    code, out, err = run(str(file), "--json")
    assert (code, out) == (2, "")
    assert err.startswith(start)
    assert err.endswith("\n")
    assert len(err.splitlines()) == 1


def test_a_refusal_by_the_command_itself_exits_2_as_well() -> None:
    assert run(str(LANTERN), "--most=-1") == (2, "", "--most: it is below zero; allowed: zero or more\n")


@pytest.mark.parametrize("name", ["no such file.json", ".", "two\nlines.json", "null\0byte"])
def test_a_file_that_cannot_be_read_exits_2_with_one_line(name: str) -> None:
    code, out, err = run(name)
    assert (code, out) == (2, "")
    assert "cannot be read" in err
    assert len(err.splitlines()) == 1
