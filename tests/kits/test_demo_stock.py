"""The demo's cupboard: some things short, most bags handed out, a ledger in the order of time."""

from __future__ import annotations

import pytest

from kits.demo.load import load
from kits.models import Event, StockMovement, Workshop
from kits.services.packing_list import packing_list
from kits.services.stock_list import shopping_for
from kits.supplies.items import MILLI

pytestmark = pytest.mark.django_db


@pytest.fixture
def demo() -> Workshop:
    return load()


def test_three_things_are_short_and_one_has_two_packs_to_choose_from(demo: Workshop) -> None:
    rows = {row.want.item.name: row for row in shopping_for(demo.owner, [demo]).rows}
    assert set(rows) == {"Sew-on light, yellow", "Sew-on buzzer", "felt, A4 sheet"}
    light = rows["Sew-on light, yellow"]
    assert len(light.want.offers) == 2
    assert light.basket is not None
    assert light.basket.amount >= light.want.short


def test_bags_are_in_several_states(demo: Workshop) -> None:
    states = {row.kit.number: row.state for row in packing_list(demo).kits}
    assert {number: state for number, state in states.items() if state != "handed-out"} == {7: "missing", 8: "to-pack"}


def test_a_spare_was_given_and_one_switch_lost(demo: Workshop) -> None:
    assert Event.objects.get(kind=Event.Kind.SPARE_GIVEN).kit.number == 1
    assert StockMovement.objects.get(kind="lost").change == -MILLI


def test_the_ledger_is_in_the_order_of_time_and_names_nobody(demo: Workshop) -> None:
    for item in demo.owner.stock_items.all():
        times = list(item.movements.order_by("number").values_list("at", flat=True))
        assert times == sorted(times)
    said = " ".join(StockMovement.objects.values_list("reason", flat=True))
    assert not [name for name in demo.learners.values_list("display_name", flat=True) if name in said]
