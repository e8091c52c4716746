"""What a class needs: spares, packs, spools, supplies."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from kits.plan.make import make_plan
from kits.supplies.class_needs import ClassNeed, KitNeeds, class_needs
from kits.supplies.spares import spares
from projects.circuit import project_file
from projects.circuit.project import Supply
from projects.circuit.sewing import Habits
from tests.kits.plan_documents import LANTERN, porch


def chance(needed: int, spare: int, loss: Fraction) -> Fraction:
    """P(at least `needed` of needed + spare are good), summed exactly."""
    number = needed + spare
    return sum(
        (math.comb(number, good) * (1 - loss) ** good * loss ** (number - good) for good in range(needed, number + 1)),
        Fraction(0),
    )


@pytest.mark.parametrize("needed", [1, 2, 7, 12, 24, 96])
@pytest.mark.parametrize("loss", [Fraction(1, 100), Fraction(1, 20), Fraction(1, 4), Fraction(9, 10)])
def test_spares_are_the_least_that_leave_enough_nineteen_times_in_twenty(needed: int, loss: Fraction) -> None:
    found = spares(needed, float(loss))
    assert chance(needed, found, loss) >= Fraction(95, 100)
    assert found == 0 or chance(needed, found - 1, loss) < Fraction(95, 100)


def test_nothing_needed_or_nothing_lost_needs_no_spares() -> None:
    assert (spares(0, 0.5), spares(30, 0.0)) == (0, 0)


def test_spares_are_found_fast_where_nearly_all_is_lost() -> None:
    assert spares(1000, 0.99999) > 1e8


@pytest.mark.parametrize(("needed", "loss", "sure"), [(-1, 0.1, 0.95), (1, 1.0, 0.95), (1, -0.1, 0.95), (1, 0.1, 1.0)])
def test_spares_refuse_what_has_no_answer(needed: int, loss: float, sure: float) -> None:
    with pytest.raises(ValueError, match="Spares need"):
        spares(needed, loss, sure)


def lantern_class(learners: tuple[int, ...], *supplies: Supply) -> list[KitNeeds]:
    project = project_file.read(LANTERN.read_bytes())
    own = project.model_copy(
        update={"project": project.project.model_copy(update={"supplies": (*project.project.supplies, *supplies)})}
    )
    return [KitNeeds(own.project, make_plan(own), count) for count in learners]


def by_name(needs: tuple[ClassNeed, ...]) -> dict[str, ClassNeed]:
    return {need.name: need for need in needs}


def test_twelve_lantern_kits() -> None:
    kits = lantern_class((1,) * 12)
    found = by_name(class_needs(kits))
    holder = found["Sew-on holder, 20 mm coin cell"]
    # Twelve and two spares (test above) are two packs of ten at 12.00 each.
    assert (holder.needed, holder.spare, holder.packs, holder.pack, holder.price) == (12, 2, 2, 10, 24)
    thread = found["conductive thread"]
    cut_mm = sum(run.cut_mm for run in kits[0].plan.runs)
    # Each kit's thread is rounded up to the millimetre.
    assert thread.needed == pytest.approx(12 * cut_mm, abs=12)
    assert thread.amount == pytest.approx(12 * cut_mm * 1.12, abs=12)
    assert (thread.packs, thread.price) == (math.ceil(12 * cut_mm * 1.12 / 20_000), 6 * thread.packs)
    felt = found["felt, A5 sheet"]
    assert (felt.needed, felt.packs, felt.price) == (12, 12, pytest.approx(12 * 0.6))


def test_supplies_by_kit_learner_and_workshop() -> None:
    needle = Supply(name="needle", amount=2, per="learner", price=0.1)
    iron = Supply(name="iron", amount=1, per="workshop", price=20)
    found = by_name(class_needs(lantern_class((1, 2, 2), needle, iron)))
    assert (found["needle"].needed, found["needle"].price) == (2 * 5, pytest.approx(1.0))
    assert (found["iron"].needed, found["iron"].price) == (1, 20)
    assert found["felt, A5 sheet"].needed == 3


def test_kits_of_two_projects_share_rows_of_the_same_part() -> None:
    kits = [*lantern_class((1, 1)), KitNeeds(porch().project, make_plan(porch()))]
    found = by_name(class_needs(kits))
    assert found["Sew-on slide switch"].needed == 3
    assert found["Sew-on light, red"].needed == 2
    assert [need.kind for need in found.values()] == sorted(
        (n.kind for n in found.values()), key=["part", "thread", "supply"].index
    )


def test_a_teachers_waste_and_sureness_are_used() -> None:
    kits = lantern_class((1,) * 12)
    careful = by_name(class_needs(kits, replace(Habits(), waste_share=0.5, sure_share=0.999)))
    usual = by_name(class_needs(kits))
    assert careful["conductive thread"].amount > usual["conductive thread"].amount
    assert careful["Sew-on slide switch"].spare > usual["Sew-on slide switch"].spare


def test_a_class_of_no_kits_needs_nothing() -> None:
    assert class_needs([]) == ()
