"""Packs at least cost against trying every number of every pack, and amounts that never drift."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kits.demo.examples import examples
from kits.plan.cuts import thread_cuts
from kits.plan.make import make_plan
from kits.supplies.items import MILLI, Item, Offer, money_of, offer_of, thousandths
from kits.supplies.kit_items import KitNeeds, kit_items, shared_items
from kits.supplies.packs import Basket, cheapest_packs
from kits.supplies.workshop_items import workshop_items
from projects.circuit.document import Document
from projects.circuit.part_types import Link, PartType, Terminal
from projects.circuit.project import Part, Supply
from projects.circuit.sewing import Habits
from tests.kits.factories import lantern


def by_trying_all(needed: int, offers: list[Offer]) -> tuple[int, int, int]:
    """Least cost, then amount, then packs, over every number of each pack that could be of use."""
    most = [range(-(-needed // offer.size) + 1) for offer in offers]
    return min(
        (
            sum(n * o.cost for n, o in zip(numbers, offers, strict=True)),
            sum(n * o.size for n, o in zip(numbers, offers, strict=True)),
            sum(numbers),
        )
        for numbers in product(*most)
        if sum(n * o.size for n, o in zip(numbers, offers, strict=True)) >= needed
    )


def of(basket: Basket | None) -> tuple[int, int, int]:
    assert basket is not None
    return basket.cost, basket.amount, sum(row.packs for row in basket.bought)


an_offer = st.builds(Offer, st.integers(1, 12), st.integers(0, 30))


@settings(deadline=None)  # every number of every pack takes its time
@given(st.integers(1, 40), st.lists(an_offer, min_size=1, max_size=3, unique_by=lambda offer: offer.size))
def test_packs_cost_the_least_that_any_packs_cost(needed: int, offers: list[Offer]) -> None:
    assert of(cheapest_packs(needed, offers)) == by_trying_all(needed, offers)


@settings(deadline=None)
@given(st.integers(60, 120), st.lists(st.builds(Offer, st.integers(1, 5), st.integers(0, 9)), min_size=2, max_size=2))
def test_large_needs_are_as_exact_as_small_ones(needed: int, offers: list[Offer]) -> None:
    """Here most packs are bought without working them out one by one."""
    assert of(cheapest_packs(needed, offers))[0] == by_trying_all(needed, offers)[0]


@given(st.integers(1, 60), st.lists(an_offer, min_size=1, max_size=4))
def test_it_does_not_matter_in_which_order_packs_are_offered(needed: int, offers: list[Offer]) -> None:
    assert of(cheapest_packs(needed, offers)) == of(cheapest_packs(needed, offers[::-1]))


def test_many_of_something_small_is_worked_out_at_once() -> None:
    basket = cheapest_packs(10**9, [Offer(1000, 7), Offer(3000, 20), Offer(7000, 50)])
    assert basket is not None
    # 333,333 packs of three are the best value; 1,000 more are needed: one by itself is cheapest.
    assert [(row.offer.size, row.packs) for row in basket.bought] == [(1000, 1), (3000, 333_333)]


def test_of_equal_cost_the_least_is_left_over_then_the_fewest_packs_are_bought() -> None:
    assert of(cheapest_packs(5, [Offer(5, 10), Offer(6, 10)])) == (10, 5, 1)
    assert of(cheapest_packs(4, [Offer(2, 5), Offer(4, 10)])) == (10, 4, 1)


def test_nothing_needed_is_nothing_bought_and_what_nobody_offers_has_no_answer() -> None:
    assert cheapest_packs(0, []) == Basket()
    assert cheapest_packs(-3, [Offer(1, 1)]) == Basket()
    assert cheapest_packs(1, []) is None


@pytest.mark.parametrize(("size", "cost"), [(0, 1), (-1, 1), (1, -1)])
def test_a_pack_holds_something_and_costs_no_less_than_nothing(size: int, cost: int) -> None:
    with pytest.raises(ValueError, match="pack"):
        Offer(size, cost)


@pytest.mark.parametrize(
    ("price", "tax", "with_tax"),
    [("10.00", "20", "12.00"), ("3.33", "19", "3.96"), ("0.99", "7.5", "1.06"), ("5.00", "0", "5.00")],
)
def test_tax_is_added_exactly_and_rounded_only_when_said(price: str, tax: str, with_tax: str) -> None:
    assert money_of(offer_of(1, Decimal(price), Decimal(tax)).cost) == Decimal(with_tax)


def test_a_price_of_less_than_a_cent_adds_up() -> None:
    # 1,000 cm of tape at 0.004: four, not nothing and not ten.
    assert money_of(1000 * offer_of(1, 0.004).cost) == Decimal("4.00")


@given(st.integers(0, 10**9))
def test_whole_thousandths_stay_what_they_are(amount: int) -> None:
    assert thousandths(Decimal(amount) / MILLI) == amount
    assert thousandths(amount) == amount * MILLI


def changed(**update: object) -> Document:
    document = lantern()
    return document.model_copy(update={"project": document.project.model_copy(update=update)})


def kit_of(document: Document, learners: int = 1) -> KitNeeds:
    return KitNeeds(document.project, make_plan(document), learners)


def test_a_kit_holds_its_own_parts_thread_by_its_own_cut_lengths_and_supplies() -> None:
    kit = kit_of(lantern())
    found = {one.item.name: one for one in kit_items(kit)}
    assert found["Sew-on slide switch"].refs == ("S1",)
    thread = found["conductive thread"]
    cut = thousandths(sum(run.cut_mm for run in kit.plan.runs) / 1000)
    assert (thread.needed, thread.item.unit) == (cut, "m")
    assert cut * 1.12 <= thread.to_pack <= cut * 1.12 + 1
    assert found["felt, A5 sheet"].needed == 1 * MILLI


def test_a_pair_gets_two_of_what_each_learner_needs_and_a_shared_thing_is_in_no_kit() -> None:
    needle, glue = Supply(name="needle", per="learner"), Supply(name="glue", amount=0.25, unit="bottle", per="workshop")
    document = changed(supplies=(needle, glue))
    names = {one.item.name: one.to_pack for one in kit_items(kit_of(document, 2))}
    assert names["needle"] == 2 * MILLI
    assert "glue" not in names
    assert [(one.item.name, one.needed) for one in shared_items(document.project)] == [("glue", 250)]


def test_two_threads_of_other_resistance_are_two_things() -> None:
    other = changed(thread=lantern().project.thread.model_copy(update={"ohms_per_metre": 59.0}))
    rows = workshop_items([kit_of(lantern()), kit_of(other)])
    assert [row.item.code for row in rows if row.item.kind == "thread"] == ["30", "59"]


def test_a_crossing_made_of_thread_alone_is_not_bought() -> None:
    ends = (Terminal(name="a", x=-5, y=0), Terminal(name="b", x=5, y=0))
    body = {"shape": "rectangle", "width": 12, "height": 2}
    model = {"kind": "link"}
    seam = PartType.model_validate({"type": "seam", "name": "Seam", "body": body, "terminals": ends, "model": model})
    assert isinstance(seam.model, Link)
    document = changed(part_types=(seam,), parts=(*lantern().project.parts, Part(ref="X1", type="seam")))
    assert "Seam" not in {one.item.name for one in kit_items(kit_of(document))}


def test_a_class_sums_its_kits_and_adds_spares_and_waste() -> None:
    kits = [kit_of(lantern())] * 12
    rows = {row.item.name: row for row in workshop_items(kits)}
    holder = rows["Sew-on holder, 20 mm coin cell"]
    assert (holder.in_kits, holder.spare) == (12 * MILLI, 2 * MILLI)  # by the binomial rule: see test_supplies
    thread = rows["conductive thread"]
    assert thread.amount == sum(one.to_pack for kit in kits for one in kit_items(kit) if one.item == thread.item)
    assert workshop_items([]) == ()


def test_things_are_the_same_by_what_they_are_not_by_what_they_cost() -> None:
    dear = changed(supplies=(Supply(name="felt, A5 sheet", unit="sheet", price=2.0),))
    rows = [row for row in workshop_items([kit_of(lantern()), kit_of(dear)]) if row.item.name == "felt, A5 sheet"]
    assert [row.item for row in rows] == [Item("supply", "", "felt, A5 sheet", "sheet")]
    assert [offer.cost for offer in rows[0].offers] == [600_000, 2_000_000]


@pytest.mark.parametrize("document", [lantern(), *examples().values()], ids=lambda document: document.project.title)
def test_the_lengths_to_cut_are_those_of_the_plan(document: Document) -> None:
    habits = Habits(end_mm=200.0)
    planned = [run.cut_mm for run in make_plan(document, habits).runs]
    assert [run.cut_mm for run in thread_cuts(document, habits).runs] == planned
