"""How parts work in a situation, and what a situation is called."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checks.engine import check
from checks.findings import Situation
from checks.shine import full_on, glow, shine, situation_words, working_parts
from checks.summary import summary
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.project import Settings
from projects.circuit.project_file import read

LANTERN = Path(__file__).parents[1] / "cases" / "lantern-patch.json"
FIREFLY = Path(__file__).parents[2] / "kits" / "demo" / "projects" / "firefly-jar.json"


def lantern(**thread: float) -> Document:
    value = json.loads(LANTERN.read_text())
    value["project"]["thread"] |= thread
    return read(json.dumps(value).encode())


def lit_as(document: Document) -> dict[str, str]:
    laid_out = lay_out(document)
    situation = full_on(check(document).situations)
    assert situation is not None
    return {one.ref: one.shine for one in working_parts(laid_out, situation)}


@pytest.mark.parametrize(
    ("ohms_per_metre", "expected"),
    [(30.0, "lit"), (3_000.0, "dim"), (60_000.0, "dark")],
)
def test_a_light_gets_dim_and_dark_as_the_thread_gets_worse(ohms_per_metre: float, expected: str) -> None:
    assert lit_as(lantern(ohms_per_metre=ohms_per_metre)) == {"L1": expected}


def test_the_words_for_a_light_change_exactly_at_the_settings() -> None:
    settings = Settings(dark_amps=0.001, dim_amps=0.002)
    found = [shine(amps, 0.01, settings) for amps in (0.00099, 0.001, 0.00199, 0.002, 0.01, 0.01001)]
    assert found == ["dark", "dim", "dim", "lit", "lit", "bright"]


def test_a_light_glows_more_the_more_flows_and_never_beyond_full() -> None:
    shares = [glow(amps, 0.02, Settings()) for amps in (0.0, 0.0001, 0.0003, 0.001, 0.005, 0.02, 0.5)]
    assert shares == sorted(shares)
    assert shares[:2] == [0.0, 0.0]
    assert 0 < shares[2] < shares[3] < shares[4] < shares[5] == shares[6] == 1.0


def test_full_on_is_the_fresh_situation_that_takes_most() -> None:
    document = read(FIREFLY.read_bytes())
    situations = check(document).situations
    found = full_on(situations)
    assert found is not None
    assert found.cell == "fresh"
    assert found.amps["B1"] == max(one.amps["B1"] for one in situations if one.cell == "fresh")
    assert full_on(()) is None


def test_situations_are_named_in_words() -> None:
    laid_out = lay_out(read(FIREFLY.read_bytes()))
    situation = Situation("S1=on, M1.a4=high, M1.a5=low, M1.a6=high, R1=dark, used", "used", {}, {}, {}, None)
    words = [str(one) for one in situation_words(laid_out, situation.name)]
    assert words == ["S1 on", "M1 (4, 6) on", "M1 (5) off", "R1 dark", "old battery"]


def test_a_circuit_without_a_solution_shows_no_part() -> None:
    laid_out = lay_out(lantern())
    nothing = Situation("S1=on, fresh", "fresh", {}, {}, {}, None)
    assert list(working_parts(laid_out, nothing)) == []


def test_situations_that_look_alike_are_one_row() -> None:
    document = read(FIREFLY.read_bytes())
    laid_out, situations = lay_out(document), check(document).situations
    rows = summary(laid_out, situations)
    pins = {"M1.a4", "M1.a5", "M1.a6"}
    assert [dict(row.choices) for row in rows] == [
        {"S1": "off"},
        {"S1": "on"} | dict.fromkeys(pins, "low"),
        {"S1": "on"} | dict.fromkeys(pins, "high"),
    ]
    assert [part.shine for part in rows[2].parts] == ["on", "lit", "lit", "lit"]
    fresh = [one for one in situations if one.cell == "fresh" and "S1=on" in one.name and "high" in one.name]
    light = rows[2].parts[1]
    assert (light.amps.least, light.amps.most) == (min(s.amps["L1"] for s in fresh), max(s.amps["L1"] for s in fresh))
    assert rows[2].hours == min(one.hours or 0 for one in fresh)


def test_rows_cover_every_situation_once() -> None:
    laid_out = lay_out(read(FIREFLY.read_bytes()))
    names = [f"S1={s}, M1.a4={p}, R1={r}" for s in ("off", "on") for p in ("low", "high") for r in ("dark", "bright")]
    # Lit in a pattern that no single choice explains.
    lit = {names[1], names[4], names[7]}
    situations = [Situation(f"{n}, fresh", "fresh", {}, {"B1": 0.0, "L1": 0.003 * (n in lit)}, {}, None) for n in names]
    rows = summary(laid_out, situations)
    for name in names:
        choices = dict(one.split("=") for one in name.split(", "))
        holding = [row for row in rows if row.choices.items() <= choices.items()]
        assert [row.parts[0].shine for row in holding] == ["lit" if name in lit else "dark"]
