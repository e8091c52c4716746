"""The engine: order, and what happens when a rule fails."""

import logging
from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace

import pytest

from checks.engine import check
from checks.facts import Facts
from checks.findings import Finding, to_json
from checks.rules import RULES, Rule
from checks.touching import TooTangledError
from projects.circuit.document import Document
from projects.circuit.text import msg
from tests.checks.cases import document

CROSSED = {"base": "lamp", "lines": {"a": ["B1.p1", [100, 160], "L1.plus"]}}


def rule(name: str, find: object) -> Rule:
    return Rule(name, "note", SimpleNamespace(ID=name, LEVEL="note", check=find, __doc__=""))


def half_way(facts: Facts) -> Iterator[Finding]:
    yield Finding("half-way", "note", msg("Half."), msg("Half."))
    raise ZeroDivisionError


def test_a_rule_that_crashes_makes_the_report_incomplete_and_hides_nothing(caplog: pytest.LogCaptureFixture) -> None:
    sound = document({"base": "lamp"})
    with caplog.at_level(logging.CRITICAL):
        report = check(sound, (rule("half-way", half_way), *RULES))
    assert report.crashed == ("half-way",)
    assert not report.complete
    assert not report.passes
    assert report.findings == check(sound).findings
    crossed = document(CROSSED)
    alone = check(crossed)
    assert alone.findings
    assert check(crossed, (rule("half-way", half_way), *RULES)).findings == alone.findings


def test_a_crash_is_logged(caplog: pytest.LogCaptureFixture) -> None:
    check(document({"base": "lamp"}), (rule("half-way", half_way),))
    assert "half-way" in caplog.text
    assert "ZeroDivisionError" in caplog.text


def test_a_layout_that_can_not_be_laid_out_never_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(facts: Document) -> None:
        raise ValueError

    monkeypatch.setattr("checks.facts.lay_out", fail)
    report = check(document({"base": "lamp"}))
    assert not report.passes
    assert report.sewn == ()
    no_need = {"own-part-type", "fold-touch", "wrong-pin", "input-idle"}  # with no faces and no pins they ask nothing
    assert set(report.crashed) == {one.id for one in RULES} - no_need | {"situations"}
    assert report.situations == ()


def test_rules_of_the_working_circuit_wait_for_what_they_follow_from() -> None:
    looked: list[str] = []

    def look(facts: Facts) -> Iterator[Finding]:
        looked.append("looked")
        yield from ()

    working = replace(rule("works", look), working=True)
    for case, times in (({"base": "lamp"}, 1), (CROSSED, 1), ({"base": "lamp", "lines": {"a": None}}, 1)):
        check(document(case), (*RULES, working))
        assert len(looked) == times, case


def test_situations_are_told_even_while_something_is_wrong() -> None:
    report = check(document(CROSSED))
    assert [situation.name for situation in report.situations] == ["fresh", "used"]
    assert report.all_situations


def test_past_64_situations_the_report_says_so() -> None:
    switches = {f"S{i}": ["slide-switch"] for i in range(1, 7)}
    report = check(document({"base": "lamp", "parts": switches}))
    assert len(report.situations) == 14
    assert not report.all_situations


def test_situations_that_can_not_be_solved_never_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(sewn: object) -> None:
        raise ArithmeticError

    monkeypatch.setattr("checks.facts.Situations", fail)
    report = check(document({"base": "lamp"}))
    assert "situations" in report.crashed
    assert not report.passes


def test_findings_come_in_the_order_of_the_rules() -> None:
    report = check(document(CROSSED))
    order = [one.id for one in RULES]
    found = [order.index(finding.rule) for finding in report.findings]
    assert found == sorted(found)


def test_the_same_layout_gives_the_same_report() -> None:
    assert check(document(CROSSED)) == check(document(CROSSED))


def test_json_holds_all_and_nothing_else() -> None:
    report = check(document(CROSSED))
    told = to_json(report)
    assert list(told) == ["format", "pass", "complete", "crashed", "findings", "sewn", "situations"]
    assert told["format"] == "tieoff-report/1"
    assert told["pass"] is False
    findings = told["findings"]
    assert isinstance(findings, list)
    assert list(findings[0]) == [
        "rule", "level", "text", "fix", "at", "parts", "lines", "connections", "terminals", "situations",
    ]  # fmt: skip
    short = next(one for one in findings if one["rule"] == "short")
    assert short["at"] == [{"piece": "front", "x": pytest.approx(95, abs=0.1), "y": 150},
                           {"piece": "front", "x": pytest.approx(112, abs=0.1), "y": 150}]  # fmt: skip
    assert short["connections"] == ["plus", "minus"]


def test_a_hopeless_tangle_is_refused_once_and_does_not_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    times = []

    def refuse(*args: object) -> None:
        times.append(1)
        raise TooTangledError

    monkeypatch.setattr("checks.facts.sew", refuse)
    report = check(document({"base": "lamp"}))
    assert not report.passes
    assert {"short", "open", "too-close"} <= set(report.crashed)
    assert len(times) == 1
