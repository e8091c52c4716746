"""The guide: what its pages hold, what its examples prove, and that everyone may read it."""

from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from checks import guide as guide_package
from checks.engine import check
from checks.guide import GuidePage, page, pages
from checks.rules import RULES
from tests.checks.reading_grade import reading_grade

MOST_GRADE = 6.0
PAGES = pytest.mark.parametrize("one", pages(), ids=lambda one: one.rule)


def test_each_rule_has_a_page_in_order() -> None:
    assert [(one.rule, one.level) for one in pages()] == [(rule.id, rule.level) for rule in RULES]
    assert page("short").title.text == "Thread of two things that must not be joined must never touch."
    with pytest.raises(KeyError):
        page("nothing-of-the-kind")


def test_no_example_is_left_over() -> None:
    found = {path.stem for path in (Path(guide_package.__file__).parent / "examples").glob("*.json")}
    assert found == {rule.id for rule in RULES}


@PAGES
def test_the_wrong_example_is_found_and_the_right_one_is_sound(one: GuidePage) -> None:
    wrong, right = check(one.wrong_example.document), check(one.right_example.document)
    assert one.rule in {finding.rule for finding in wrong.findings}
    assert one.wrong_example.findings
    assert one.right_example.findings == ()
    assert {finding.rule for finding in right.findings if finding.level != "note"} == set()
    assert one.rule not in {finding.rule for finding in right.findings}
    assert wrong.crashed == right.crashed == ()


@PAGES
def test_texts_are_easy_to_read(one: GuidePage) -> None:
    said = [one.title, one.why, one.wrong, one.right, one.mend]
    said += [text for finding in one.wrong_example.findings for text in (finding.text, finding.fix)]
    hard = {str(text): reading_grade(str(text)) for text in said if reading_grade(str(text)) > MOST_GRADE}
    assert hard == {}


@PAGES
def test_drawings_are_of_both_examples(one: GuidePage) -> None:
    wrong, right = one.wrong_example.drawings(), one.right_example.drawings()
    assert len(wrong) == len(one.wrong_example.document.project.pieces)
    assert all(svg.startswith("<svg") for svg in (*wrong.values(), *right.values()))
    marked = sum(svg.count("data-mark=") for svg in wrong.values())
    assert marked == sum(len(finding.at) for finding in one.wrong_example.findings)
    assert not any("data-mark=" in svg for svg in right.values())


def test_the_list_leads_to_every_page() -> None:
    client = Client()
    told = client.get(reverse("checks:guide")).content.decode()
    for one in pages():
        address = reverse("checks:guide-page", args=[one.rule])
        assert f'href="{address}"' in told
        answer = client.get(address)
        assert answer.status_code == 200
        for text in (one.title, one.why, one.wrong, one.right, one.mend):
            assert str(text) in answer.content.decode().replace("&#x27;", "'")
        assert answer.content.decode().count("<svg") >= 2


def test_a_rule_that_is_none_has_no_page() -> None:
    assert Client().get("/guide/nothing-of-the-kind/").status_code == 404
    assert Client().get("/guide/No%20rule/").status_code == 404
