"""Reading and writing the project file: round trips, defaults, and any bytes at all."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.json_text import MAX_BYTES, MAX_DEPTH
from projects.circuit.layout import Layout, Line
from projects.circuit.project import Settings, Supply, Thread
from projects.circuit.project_file import Refusal, read, schema_text, write
from projects.management.commands import write_schema
from tests.projects.documents import documents

LANTERN = (Path(__file__).parent.parent / "cases" / "lantern-patch.json").read_bytes()
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


def lantern() -> dict[str, Any]:
    value: dict[str, Any] = json.loads(LANTERN)
    return value


def read_or_refused(data: bytes) -> Document | None:
    """The document, or None for a refusal of one line; any other exception is let out."""
    try:
        return read(data)
    except Refusal as refusal:
        said = refusal
    assert said.place
    assert len(str(said).splitlines()) == 1
    assert re.match(r"^\S.*: .+; allowed: .+$", str(said))
    return None


def test_the_example_of_the_contract_reads_and_writes_back() -> None:
    document = read(LANTERN)
    assert [part.ref for part in document.project.parts] == ["B1", "L1", "S1"]
    assert document.layout.lines[0] == Line(name="s1", piece="front", start="B1.p1", end="@j1", via=((27.0, 30.0),))
    assert read(write(document)) == document


def test_writing_keeps_every_key_of_the_example_in_its_order() -> None:
    def ordered(value: object) -> object:
        if isinstance(value, dict):
            return [(key, ordered(inner)) for key, inner in value.items()]
        return [ordered(inner) for inner in value] if isinstance(value, list) else value

    written, example = json.loads(write(read(LANTERN))), lantern()
    example["layout"]["lines"][1]["via"] = []
    assert ordered(written) == ordered(example)


def test_writing_is_canonical_indented_and_leaves_out_what_is_null() -> None:
    data = write(read(LANTERN))
    assert data == write(read(write(read(json.dumps(lantern()).encode()))))
    assert data.startswith(b'{\n  "format": "tieoff/1",\n  "project": {\n    "title": "Lantern patch",\n')
    assert data.endswith(b"}\n")
    assert b"null" not in data
    assert b'{"name": "s1", "piece": "front", "from": "B1.p1", "to": "@j1", "via": [[27, 30]]}' in data


def test_texts_in_any_script_stay_readable() -> None:
    value = lantern()
    value["project"]["title"] = "Lampáš 灯 💡"
    data = write(read(json.dumps(value).encode()))
    assert "Lampáš 灯 💡".encode() in data
    assert read(data).project.title == "Lampáš 灯 💡"


def test_keys_that_are_missing_get_the_defaults() -> None:
    least = {
        "format": "tieoff/1",
        "project": {"title": "T", "pieces": [{"name": "f", "outline": [[0, 0], [50, 0], [0, 50]]}]},
    }
    least["project"] |= {"parts": [], "connections": []}  # type: ignore[dict-item]
    document = read(json.dumps(least).encode())
    project = document.project
    assert document.format == "tieoff/1"
    assert document.layout == Layout()
    assert (project.thread, project.settings) == (Thread(), Settings())
    assert (project.spacing, project.contact, project.pieces[0].seam_allowance) == (5.0, 2.0, 8.0)
    assert (project.stages, project.supplies, project.criteria, project.part_types) == ((), (), (), ())
    assert (project.pins, project.swaps, project.learner_may) == ({}, {}, "layout")


def test_defaults_are_those_of_the_example() -> None:
    project = read(LANTERN).project
    assert (project.thread, project.settings) == (Thread(), Settings())
    assert project.supplies == (Supply(name="felt, A5 sheet", amount=1, unit="sheet", per="kit", price=0.6),)


def test_faces_are_written_only_where_there_are_some() -> None:
    plain = read(LANTERN)
    assert b"faces" not in write(plain)
    folded = plain.model_copy(update={"project": plain.project.model_copy(update={"faces": (("front", "front"),)})})
    assert b'"faces": [["front", "front"]]' in write(folded)
    assert read(write(folded)) == folded


def test_a_suggestion_is_accepted_and_dropped() -> None:
    for suggestion in ({"complete": True, "hints": []}, None, [1, "two"], "text"):
        assert read(json.dumps(lantern() | {"suggestion": suggestion}).encode()) == read(LANTERN)


def test_a_whole_number_may_be_written_with_a_point() -> None:
    value = lantern()
    value["project"]["thread"]["strands"] = 2.0
    assert b'"strands": 2.0' in json.dumps(value).encode()
    assert read(json.dumps(value).encode()) == read(LANTERN)


def test_a_byte_order_mark_is_accepted_and_other_encodings_are_not() -> None:
    assert read(b"\xef\xbb\xbf" + LANTERN) == read(LANTERN)
    for encoding in ("utf-16", "utf-16-le", "utf-32", "cp037"):
        assert read_or_refused(LANTERN.decode().encode(encoding)) is None


def test_half_done_and_wrong_work_is_kept() -> None:
    """A part without a place, a line to another piece, a terminal in two connections, a wrong pin: findings, later."""
    value = lantern()
    value["project"]["pieces"].append({"name": "back", "outline": [[0, 0], [90, 0], [90, 90]]})
    value["project"]["connections"].append({"name": "again", "terminals": ["B1.p1"]})
    value["project"]["connections"].append({"name": "nothing-yet", "terminals": []})
    value["project"]["pins"] = {"L1.plus": "analog"}
    value["project"]["criteria"] = [{"stage": "any name, as the project has no stages", "text": "neat"}]
    del value["layout"]["places"][0]
    value["layout"]["lines"][2]["piece"] = "back"
    value["layout"]["lines"][3]["to"] = value["layout"]["lines"][3]["from"]
    document = read(json.dumps(value).encode())
    assert read(write(document)) == document


def test_limits_themselves_are_allowed() -> None:
    value = lantern()
    value["project"]["parts"] += [{"ref": f"R{i}", "type": "resistor-1k"} for i in range(197)]
    value["layout"]["lines"] = [{"name": f"s{i}", "piece": "front", "from": "B1.p1", "to": "@j1"} for i in range(1000)]
    value["layout"]["lines"][0]["via"] = [[10_000, -10_000]] * 198
    document = read(json.dumps(value).encode())
    assert len(document.project.parts) == 200
    assert read(write(document)) == document
    padded = LANTERN + b" " * (MAX_BYTES - len(LANTERN))
    assert read(padded) == read(LANTERN)
    nested: object = 1
    for _ in range(MAX_DEPTH - 1):
        nested = [nested]
    assert read(json.dumps(lantern() | {"suggestion": nested}).encode()) == read(LANTERN)


def test_a_file_near_the_limit_is_written_without_spaces_rather_than_not_at_all() -> None:
    value = lantern()
    via = [[100 + i / 8, 0.125] for i in range(150)]
    value["layout"]["lines"] = [
        {"name": f"s{i}", "piece": "front", "from": "B1.p1", "to": "@j1", "via": via} for i in range(880)
    ]
    data = json.dumps(value, separators=(",", ":")).encode()
    assert len(data) < MAX_BYTES
    document = read(data)
    written = write(document)
    assert len(written) <= MAX_BYTES
    assert b"\n" not in written
    assert read(written) == document


def test_a_document_too_large_for_a_file_is_refused_on_writing() -> None:
    via = tuple((i + 0.123456789, 0.987654321) for i in range(198))
    lines = tuple(Line(name=f"s{i}", piece="front", start="B1.p1", end="@j1", via=via) for i in range(1000))
    with pytest.raises(Refusal, match="2 MiB"):
        write(read(LANTERN).with_layout(Layout(lines=lines)))


def test_the_schema_that_is_kept_is_current(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    kept = write_schema.SCHEMA.read_text(encoding="utf-8")
    assert kept == schema_text(), "run manage.py write_schema"
    monkeypatch.setattr(write_schema, "SCHEMA", tmp_path / "schema.json")
    call_command("write_schema", verbosity=0)
    assert (tmp_path / "schema.json").read_text(encoding="utf-8") == kept


def test_the_schema_names_keys_as_the_file_does() -> None:
    schema = json.loads(schema_text())
    assert list(schema["properties"]) == ["format", "project", "layout", "suggestion"]
    assert list(schema["$defs"]["Line"]["properties"]) == ["name", "piece", "from", "to", "via"]
    assert all(one.get("additionalProperties") is False for one in schema["$defs"].values())


@given(documents())
@settings(max_examples=200, deadline=None, suppress_health_check=SLOW)
def test_any_document_reads_back_as_it_was(document: Document) -> None:
    data = write(document)
    again = read(data)
    assert again == document
    lay_out(again)
    assert write(again) == data


@given(st.binary(max_size=300))
@settings(max_examples=100, deadline=None)
def test_any_bytes_give_a_document_or_one_clear_refusal(data: bytes) -> None:
    read_or_refused(data)


@given(st.lists(st.tuples(st.integers(0, len(LANTERN)), st.integers(0, 12), st.binary(max_size=4)), max_size=4))
@settings(max_examples=100, deadline=None)
def test_a_damaged_example_gives_a_document_or_one_clear_refusal(cuts: list[tuple[int, int, bytes]]) -> None:
    data = LANTERN
    for start, length, new in cuts:
        data = data[:start] + new + data[start + length :]
    read_or_refused(data)


odd_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.sampled_from([10**400, -1, 0, 1e308, "", "B1.p1", "@j1", "front", "a\u2028b", "\ud800", "circle", "cell"])
    | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=6,
)


@given(documents(), st.data())
@settings(max_examples=100, deadline=None, suppress_health_check=SLOW)
def test_a_document_with_one_odd_value_gives_a_document_or_one_clear_refusal(document: Document, data: Any) -> None:
    """Walk down to any place of a valid document; put there, or beside it, a value that may not fit."""
    value = json.loads(write(document))
    here: Any = value
    while True:
        steps = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not steps:
            break
        step = data.draw(st.sampled_from(steps))
        if isinstance(here[step], dict | list) and data.draw(st.integers(0, 5)):
            here = here[step]
            continue
        here[step] = data.draw(odd_values)
        break
    if isinstance(here, dict) and data.draw(st.booleans()):
        here[data.draw(st.text(max_size=4))] = data.draw(odd_values)
    read_or_refused(json.dumps(value).encode())
