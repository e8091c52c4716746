"""Sheets from the web: of the kit's own layout, of the example while it has none, and for the class."""

import pytest
from django.test import Client

from kits.models import Kit
from kits.services.access import Person
from kits.services.let_pass import let_pass
from kits.services.reports import judge_kit
from projects.circuit.layout import Layout
from projects.stored import layout_from
from tests.kits.factories import learner_client, make_user, make_workshop, teacher_client, with_layout
from tests.kits.pdf_reading import page_sizes_mm, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    """Kit 1 of two, made by Ines and sewn with the left hand."""
    workshop = make_workshop(make_user("teacher"), kits=2, names=("Ines", "Otto"))
    kit = workshop.kits.get(number=1)
    kit.learners.filter(display_name="Ines").update(left_handed=True)
    return kit


@pytest.fixture
def teacher(kit: Kit) -> Client:
    return teacher_client(kit.workshop.owner)


def printed(client: Client, kit: Kit, sheet: str, query: str = "") -> bytes:
    answer = client.get(f"/kits/{kit.pk}/{sheet}.pdf{query}")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == f'inline; filename="kit-{kit.number}-{sheet}.pdf"'
    assert "no-store" in answer["Cache-Control"]
    return answer.content


def test_a_kit_without_a_layout_prints_the_example_and_says_so(teacher: Client, kit: Kit) -> None:
    found = words(printed(teacher, kit, "step-sheet"))
    assert "This is the example, not your own plan." in found
    assert "Kit 1 · revision 1" in found
    assert "Ines" in found
    assert "left hand" in found


def test_a_learner_prints_their_own_layout(kit: Kit) -> None:
    kit = with_layout(kit)
    found = words(printed(learner_client(kit), kit, "step-sheet"))
    assert "This is the example" not in found
    assert "Stop: do not sew" not in found
    assert "Sew along line 1a" in found


def without_a_line(kit: Kit) -> Kit:
    layout = layout_from(kit.revision.document["layout"])
    return with_layout(kit, Layout(places=layout.places, joins=layout.joins, lines=layout.lines[:3]))


def test_a_stop_is_printed_until_the_teacher_lets_it_pass(teacher: Client, kit: Kit) -> None:
    kit = without_a_line(kit)
    assert "Stop: do not sew this yet" in words(printed(teacher, kit, "step-sheet"))
    for finding in judge_kit(kit).stops:
        let_pass(kit, finding.key, "It is sewn by hand.", Person(user=kit.workshop.owner))
    assert "Stop: do not sew this yet" not in words(printed(teacher, kit, "step-sheet"))


def test_paper_and_units_are_chosen_in_the_address(teacher: Client, kit: Kit) -> None:
    made = printed(teacher, kit, "step-sheet", "?paper=letter&units=inch")
    assert page_sizes_mm(made)[0] == pytest.approx((215.9, 279.4), abs=0.1)
    assert " in " in words(made)
    made = printed(teacher, kit, "materials", "?paper=%00&units=<b>")
    assert page_sizes_mm(made)[0] == pytest.approx((210, 297), abs=0.1)


def test_only_staff_sees_what_the_class_takes(teacher: Client, kit: Kit) -> None:
    assert "2 kits, with spares" in words(printed(teacher, kit, "materials"))
    learners = words(printed(learner_client(kit), kit, "materials"))
    assert "In this kit" in learners
    assert "For the class" not in learners


def test_another_kits_sheets_are_not_found(kit: Kit) -> None:
    other = kit.workshop.kits.get(number=2)
    for sheet in ("step-sheet", "materials"):
        assert learner_client(kit).get(f"/kits/{other.pk}/{sheet}.pdf").status_code == 404
        assert teacher_client(make_user(f"stranger-{sheet}")).get(f"/kits/{kit.pk}/{sheet}.pdf").status_code == 404
        assert Client().get(f"/kits/{kit.pk}/{sheet}.pdf").status_code == 302
