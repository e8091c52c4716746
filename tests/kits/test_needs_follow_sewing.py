"""What is bought, packed, planned and marked follows the document that a kit is sewn by, in each state of it."""

from __future__ import annotations

import json

import pytest

from kits.models import Kit, Workshop
from kits.plan.cuts import thread_cuts
from kits.services.access import Person
from kits.services.decide import accept, send_back
from kits.services.hand_in import hand_in
from kits.services.kit_needs import habits_of, kit_cuts, kit_needs, planned_document, texts_to_sew
from kits.services.layouts import document_to_sew
from kits.services.packing import items_of
from kits.services.set_habits import set_waste_and_spares
from kits.sheets.for_kit import KitOnPaper
from projects.circuit.document import Document
from projects.circuit.layout import Layout
from projects.stored import document_from, layout_json
from tests.kits.factories import handed_in, lantern, make_user, make_workshop, sewing, with_layout

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo",))


def kit_of(workshop: Workshop, number: int = 1) -> Kit:
    return Kit.objects.select_related("workshop__owner", "revision__project").get(workshop=workshop, number=number)


def shorter() -> Layout:
    """The lantern's layout without its last line: less thread."""
    layout = lantern().layout
    return layout.model_copy(update={"lines": layout.lines[:-1]})


def redrawn(kit: Kit, layout: Layout) -> Kit:
    Kit.objects.filter(pk=kit.pk).update(layout=layout_json(layout), layout_version=kit.layout_version + 1)
    return kit_of(kit.workshop, kit.number)


def thread_mm(kit: Kit) -> float:
    return sum(one.cut_mm for one in kit_cuts([kit], habits_of(kit.workshop))[kit.pk].plan.runs)


def mm_of(layout: Layout) -> float:
    return sum(one.cut_mm for one in thread_cuts(lantern().with_layout(layout)).runs)


def test_the_example_while_nothing_is_laid_out(workshop: Workshop) -> None:
    kit = kit_of(workshop)
    assert planned_document(kit) == lantern()
    assert thread_mm(kit) == pytest.approx(mm_of(lantern().layout))


def test_what_is_saved_while_it_is_laid_out_handed_in_or_sent_back(workshop: Workshop) -> None:
    kit = with_layout(kit_of(workshop), shorter())
    assert thread_mm(kit) == pytest.approx(mm_of(shorter()))
    submission = handed_in(kit)  # gives the example, and hands it in
    kit = redrawn(kit_of(workshop), shorter())
    assert thread_mm(kit) == pytest.approx(mm_of(shorter()))
    send_back(submission, Person(user=workshop.owner), "Once more.")
    assert thread_mm(kit) == pytest.approx(mm_of(shorter()))


def test_what_was_accepted_once_it_is_sewn_whatever_is_drawn_since(workshop: Workshop) -> None:
    kit = redrawn(sewing(kit_of(workshop)), shorter())
    assert mm_of(shorter()) < thread_mm(kit) == pytest.approx(mm_of(lantern().layout))
    assert next(one for one in items_of(kit) if one.item.kind == "thread").needed == pytest.approx(thread_mm(kit), 1e-3)
    assert kit_needs([kit], habits_of(workshop))[kit.pk].plan == KitOnPaper(kit).plan


def test_the_changed_layout_once_it_is_accepted_in_its_turn(workshop: Workshop) -> None:
    kit = redrawn(sewing(kit_of(workshop)), shorter())
    submission = hand_in(kit, kit.layout_version, Person(user=workshop.owner))
    accept(submission, Person(user=workshop.owner))
    assert thread_mm(kit_of(workshop)) == pytest.approx(mm_of(shorter()))


def test_in_every_state_it_is_the_document_that_screens_and_sheets_are_made_from(workshop: Workshop) -> None:
    with_layout(kit_of(workshop, 1), shorter())
    handed_in(kit_of(workshop, 2))
    redrawn(sewing(kit_of(workshop, 3)), shorter())
    kits = [kit_of(workshop, number) for number in (1, 2, 3)]
    texts = texts_to_sew(kits)
    found: dict[int, Document] = {pk: document_from(json.loads(text)) for pk, text in texts.items()}
    assert found == {kit.pk: document_to_sew(kit) for kit in kits}


def test_a_class_is_read_in_as_many_queries_as_a_kit(
    workshop: Workshop,
    django_assert_num_queries: object,
) -> None:
    for number in (1, 2, 3):
        sewing(kit_of(workshop, number))
    kits = [kit_of(workshop, number) for number in (1, 2, 3)]
    for some in (kits[:1], kits):
        with django_assert_num_queries(2):  # type: ignore[operator]
            texts_to_sew(some)


def test_a_sheet_cuts_thread_as_its_class_does(workshop: Workshop) -> None:
    workshop.habits = {"end_mm": 400.0}
    workshop.save()
    kit = kit_of(workshop)
    assert sum(run.cut_mm for run in KitOnPaper(kit).plan.runs) == pytest.approx(thread_mm(kit))
    assert thread_mm(kit) > mm_of(lantern().layout)


def test_waste_is_packed_as_the_class_has_set_it(workshop: Workshop) -> None:
    set_waste_and_spares(workshop, 0.5, 0.95)
    thread = next(one for one in items_of(kit_of(workshop)) if one.item.kind == "thread")
    assert thread.to_pack == pytest.approx(thread.needed * 1.5, rel=1e-3)
