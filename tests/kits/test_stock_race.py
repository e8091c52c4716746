"""Real concurrency at one cupboard: several connections at once, on PostgreSQL and on SQLite as a site runs them."""

from __future__ import annotations

import json
from collections import Counter
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import pytest

from tests.kits.stock_race_figures import ENOUGH_FOR, KITS
from tests.postgresql import manage, run, server


@pytest.fixture(scope="module", params=["postgresql", "sqlite"])
def came(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What came of the race on one kind of database."""
    data = tmp_path_factory.mktemp(request.param)
    with server() if request.param == "postgresql" else nullcontext("") as address:
        manage(address, data, "migrate", "--verbosity", "0")
        found = json.loads(run(address, Path(data), "-m", "tests.kits.stock_race"))
    assert found["vendor"] == request.param
    return found


def test_nobody_fails_and_nobody_waits_for_ever(came: Any) -> None:
    assert (came["packing"]["wrong"], came["reserving"]["wrong"]) == ([], [])


def test_each_thing_goes_into_each_kit_once(came: Any) -> None:
    bags, needs = came["packing"]["bags"], came["packing"]["needs"]
    assert set(Counter((kit, name) for kit, name, _ in bags).values()) == {1}
    assert {(name, amount) for _, name, amount in bags} == set(needs.items())


def test_as_many_kits_are_packed_as_there_is_enough_for(came: Any) -> None:
    kits_of = Counter(name for _, name, _ in came["packing"]["bags"])
    assert kits_of == {name: ENOUGH_FOR for name in came["packing"]["needs"]}
    assert ENOUGH_FOR < KITS


def test_the_ledger_adds_up_and_never_goes_below_nothing(came: Any) -> None:
    for movements in came["ledger"]:
        on_hand = reserved = 0
        for place, (number, change, aside, on_hand_after, reserved_after) in enumerate(movements, 1):
            on_hand, reserved = on_hand + change, reserved + aside
            assert (place, on_hand, reserved) == (number, on_hand_after, reserved_after)
            assert 0 <= reserved <= on_hand


def test_nothing_is_reserved_twice_and_nothing_is_held_back(came: Any) -> None:
    """The three workshops want three times what eight kits need, and eleven kits' worth is there."""
    last = [movements[-1] for movements in came["ledger"] if any(aside > 0 for _, _, aside, _, _ in movements)]
    assert last
    assert all(reserved == on_hand for _, _, _, on_hand, reserved in last)
