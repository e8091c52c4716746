"""A teacher's habits as data."""

from __future__ import annotations

import json
import math
from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kits.plan.habits import HABIT_FIELDS, HabitRefused, habits_from, habits_to
from projects.circuit.sewing import Habits


def test_every_habit_can_be_set_and_its_default_is_allowed() -> None:
    assert sorted(field.name for field in HABIT_FIELDS) == sorted(field.name for field in fields(Habits))
    everything = {field.name: getattr(Habits(), field.name) for field in HABIT_FIELDS}
    assert habits_from(everything) == Habits()
    assert habits_to(Habits()) == {}


@given(st.data())
def test_what_is_kept_is_read_back(data: st.DataObject) -> None:
    changed = Habits()
    for field in data.draw(st.lists(st.sampled_from(HABIT_FIELDS), unique=True)):
        value: object = data.draw(st.floats(field.least, field.most))
        if field.kind is not float:
            value = data.draw(st.integers(int(field.least), int(field.most))) if field.kind is int else True
        changed = replace(changed, **{field.name: value})
    assert habits_from(json.loads(json.dumps(habits_to(changed)))) == changed


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("pins", 3, "no habit"),
        ("meters", 2.5, "whole number"),
        ("meters", -1, "from 0 to 64"),
        ("meters", True, "a number"),
        ("stitch_seconds", "10", "a number"),
        ("stitch_seconds", math.nan, "a number"),
        ("stitch_seconds", 0, "from 1 to 120"),
        ("first_light", 1, "yes or no"),
    ],
)
def test_what_cannot_be_a_habit_is_refused(name: str, value: object, words: str) -> None:
    with pytest.raises(HabitRefused, match=words) as refused:
        habits_from({name: value})
    assert refused.value.field == name
