"""Every rule by its cases, wrong and right; and what its texts and its guide page are like."""

import re
from collections import Counter

import pytest

from checks.engine import check
from checks.facts import Facts
from checks.rules import RULES
from tests.checks.cases import Case, all_cases, bases, document, expected, said
from tests.checks.reading_grade import reading_grade

CASES = dict(all_cases())
MOST_GRADE = 6.0


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_case(case: Case) -> None:
    report = check(document(case))
    assert report.crashed == ()
    assert said(report, case) == expected(case)


@pytest.mark.parametrize("base", bases())
def test_bases_are_sound(base: str) -> None:
    assert said(check(document({"base": base})), {"base": base}) == []


def test_every_rule_has_wrong_and_right_cases() -> None:
    found = Counter(rule for case in CASES.values() for rule in {rule for rule, _, _ in case["expect"]})
    files = Counter(name.partition(":")[0] for name in CASES)
    for rule in RULES:
        assert found[rule.id] >= 2, f"{rule.id}: fewer than two cases find it"
        right = [n for n, case in CASES.items() if n.startswith(f"{rule.id}:") and rule.id not in _ids(case)]
        assert right or rule.id == "not-placed", f"{rule.id}: no case of a sound neighbour among {files[rule.id]}"


def _ids(case: Case) -> set[str]:
    return {rule for rule, _, _ in case["expect"]}


def test_ids_and_levels() -> None:
    assert len({rule.id for rule in RULES}) == len(RULES)
    levels = {rule.id: rule.level for rule in RULES}
    for case in CASES.values():
        for finding in check(document(case)).findings:
            assert finding.level == levels[finding.rule]


def test_texts_are_easy_to_read() -> None:
    hard = set()
    for case in CASES.values():
        for finding in check(document(case)).findings:
            for text in (str(finding.text), str(finding.fix)):
                if reading_grade(text) > MOST_GRADE:
                    hard.add(f"{reading_grade(text):.1f} {text}")
    assert not hard, "\n".join(sorted(hard))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_guide_page(rule) -> None:
    for heading in ("Why: ", "Wrong: ", "Right: ", "How to mend: "):
        assert rule.page.count(f"\n{heading}") == 1
    assert reading_grade(rule.page) <= MOST_GRADE


def test_findings_point_at_the_drawing() -> None:
    """All but what has no place at all, or is about the project, says where to look."""
    for name, case in CASES.items():
        for finding in check(document(case)).findings:
            if finding.rule not in ("not-placed", "own-part-type") and name != "not-placed: a spare part has no place":
                assert finding.at, f"{name}: {finding.rule} marks nothing"


def test_a_strong_pack_burns() -> None:
    pack = {
        "base": "lamp",
        "parts": {"B1": ["aaa-pack", 60, 100, 180]},
        "lines": {"a": None, "b": None, "c": None, "d": None, "z": ["B1.p1", [88, 130], [32, 130], "B1.n1"]},
    }
    report = check(document(pack))
    (found,) = [finding for finding in report.findings if finding.rule == "dead-short"]
    # By hand: 22 + 56 + 22 mm at 18 milliohm and two anchors of 0.5 ohm, behind the pack's 3.2 V and 0.4 ohm.
    ohms = 100 * 0.018 + 2 * 0.5
    amps = 3.2 / (0.4 + ohms)
    assert f"{amps:.2f} A" in str(found.text)
    assert f"{amps * amps * ohms:.1f} W" in str(found.text)
    assert "burn" in str(found.text)


def test_a_short_lists_every_place_to_mend() -> None:
    case = CASES["special: + crosses − three times: one short, three places"]
    (short,) = [finding for finding in check(document(case)).findings if finding.rule == "short"]
    assert [(round(spot.x), round(spot.y)) for spot in short.at] == [(95, 101), (115, 100), (135, 100)]


def test_there_are_enough_cases() -> None:
    assert len(CASES) >= 150


def test_lines_are_named_by_their_ends() -> None:
    """Names such as `s2` stand in no drawing; what is printed beside the holes does."""
    crossing = CASES["special: + crosses − three times: one short, three places"]
    facts = Facts(document(crossing))
    assert str(facts.line("a")) == "from B1 (+, lower) to L1 (+)"
    assert str(facts.lines(["a", "d"])) == "from B1 (+, lower) to L1 (+) and from B1 (−, lower) to B1 (−, upper)"
    assert str(facts.lines(["a", "b", "d"])) == (
        "from B1 (+, lower) to L1 (+), from B1 (+, lower) to B1 (+, upper) and from B1 (−, lower) to B1 (−, upper)"
    )
    for case in CASES.values():
        for finding in check(document(case)).findings:
            said = f"{finding.text} {finding.fix}"
            for name in finding.lines:
                assert not re.search(rf"\blines? {re.escape(name)}\b", said), said


def test_connections_are_named_with_the_label_on_the_drawing() -> None:
    crossing = CASES["special: + crosses − three times: one short, three places"]
    (short,) = [finding for finding in check(document(crossing)).findings if finding.rule == "short"]
    assert str(short.text) == "“plus” (+) and “minus” (−) touch in 3 places."
