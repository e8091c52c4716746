"""How a circuit works, as teacher and learner see it: the table, the drawing that glows, the volts."""

from __future__ import annotations

import re

import pytest

from kits.models import Kit
from tests.kits.factories import learner_client, make_user, make_workshop, teacher_client, with_layout

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    return with_layout(make_workshop(make_user("ida"), kits=1).kits.get())


def page(kit: Kit, query: str = "") -> str:
    response = teacher_client(kit.workshop.owner).get(f"/kits/{kit.pk}/working/{query}")
    assert response.status_code == 200
    return response.content.decode()


def test_the_lit_situation_is_drawn_unless_another_is_asked_for(kit: Kit) -> None:
    assert 'data-glow="0.' in page(kit)
    assert "data-glow" not in page(kit, "?situation=0")


@pytest.mark.parametrize("asked", ["99", "-1", "x", "٣", "1" * 50])
def test_a_situation_that_is_not_there_shows_the_lit_one(kit: Kit, asked: str) -> None:
    assert 'data-glow="0.' in page(kit, f"?situation={asked}")


def test_situations_are_rows_with_milliamps_and_hours(kit: Kit) -> None:
    html = page(kit)
    assert re.findall(r'<th scope="row">(S1 o[^<]+)</th>', html) == ["S1 off", "S1 on"]
    assert re.findall(r"<option[^>]*>([^<]+)</option>", html) == [
        "S1 off, new battery",
        "S1 off, old battery",
        "S1 on, new battery",
        "S1 on, old battery",
    ]
    assert re.search(r'lit</span> <span class="nowrap">2\.3 mA</span>', html)
    assert "old battery: dim, 0.5 mA" in html
    assert "at most 87 h" in html


def test_volts_stand_at_each_hole_and_in_a_table(kit: Kit) -> None:
    html = page(kit)
    assert re.search(r'data-said="B1 \(\+, lower\): 2\.97 V"', html)
    assert re.search(r'<th scope="row">L1 \(\+\)</th><td>2\.96 V</td>', html)


def test_a_learner_sees_it_on_their_own_kit(kit: Kit) -> None:
    response = learner_client(kit).get(f"/kits/{kit.pk}/working/")
    assert response.status_code == 200
    assert "Battery gives" in response.content.decode()


def test_a_kit_without_a_layout_says_that_nothing_lights() -> None:
    kit = make_workshop(make_user("ida"), kits=1).kits.get()
    html = page(kit)
    assert "data-glow" not in html
