"""Batteries that no project lists: bought, packed, set out and priced by what the holders take."""

from __future__ import annotations

from typing import Any

import pytest

from kits.plan.batteries import kit_supplies
from kits.plan.make import make_plan
from kits.services.packing import items_of
from kits.services.session_plan import plan_sessions
from kits.supplies.kit_items import KitNeeds
from kits.supplies.workshop_items import workshop_items
from projects.circuit.catalogue import catalogue
from projects.circuit.project import Part, Project, Supply
from tests.kits.factories import lantern, make_user, make_workshop


def with_holder(type_name: str, *supplies: Supply, own: tuple[Any, ...] = ()) -> Project:
    project = lantern().project
    parts = tuple(Part(ref=one.ref, type=type_name) if one.ref == "B1" else one for one in project.parts)
    return project.model_copy(update={"parts": parts, "supplies": supplies, "part_types": own})


def added(project: Project) -> list[tuple[str, float]]:
    return [(one.name, one.amount) for one in kit_supplies(project) if one not in project.supplies]


@pytest.mark.parametrize(
    ("holder", "takes"),
    [
        ("coin-holder", ("coin battery, 20 mm, 3 V", 1)),
        ("coin-holder-switch", ("coin battery, 20 mm, 3 V", 1)),
        ("aaa-pack", ("AAA battery, 1.5 V", 2)),
    ],
)
def test_each_holder_of_the_catalogue_takes_its_battery(holder: str, takes: tuple[str, int]) -> None:
    assert added(with_holder(holder)) == [takes]


def test_no_holder_of_the_catalogue_is_left_to_guessing() -> None:
    cells = [name for name, kind in catalogue().items() if kind.model.kind == "cell"]
    assert [name for name in cells if "set of" in added(with_holder(name))[0][0]] == []


def own_holder(**model: float) -> Project:
    coin = catalogue()["coin-holder"]
    kind = coin.model_copy(update={"type": "mine", "name": "My holder", "model": coin.model.model_copy(update=model)})
    return with_holder("mine", own=(kind,))


def test_a_copy_takes_the_same_and_another_cell_is_called_by_its_volts() -> None:
    assert added(own_holder()) == [("coin battery, 20 mm, 3 V", 1)]
    assert added(own_holder(volts=1.5, mah=145)) == [("coin battery, 1.5 V", 1)]
    assert added(own_holder(volts=4.5, mah=1300)) == [("set of batteries for: My holder", 1)]


@pytest.mark.parametrize("name", ["coin battery, 20 mm, 3 V", "Batteries", "button cells", "CR2032", "Knopfzellen"])
def test_what_the_project_lists_itself_is_not_added_again(name: str) -> None:
    assert added(with_holder("coin-holder", Supply(name=name))) == []


@pytest.mark.parametrize("name", ["felt, A5 sheet", "tape for used batteries", "excellent glue"])
def test_other_supplies_do_not_count_as_a_battery(name: str) -> None:
    assert len(added(with_holder("coin-holder", Supply(name=name)))) == 1


def test_a_class_buys_two_for_each_pack_and_a_kit_pays_for_its_own() -> None:
    document = lantern().model_copy(update={"project": with_holder("aaa-pack")})
    plan = make_plan(document)
    bought = {row.item.name: row.amount for row in workshop_items([KitNeeds(document.project, plan)] * 12)}
    assert bought["AAA battery, 1.5 V"] == 24_000
    assert [(one.amount, one.price) for one in plan.materials if one.name == "AAA battery, 1.5 V"] == [(2, 1)]


@pytest.mark.django_db
def test_a_kit_of_the_lantern_is_packed_with_its_battery_and_it_is_set_out() -> None:
    workshop = make_workshop(make_user("teacher"), kits=3)
    assert "coin battery, 20 mm, 3 V" in {one.item.name for one in items_of(workshop.kits.first())}
    told = [dict(text.values) for now in plan_sessions(workshop) for text in now.set_out if "Batteries" in text.text]
    assert {"count": 3} in told
