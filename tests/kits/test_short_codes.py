"""Two-minute codes, switching learners on one tablet, and the end of all sign-ins."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from kits.models import Kit, Learner, ShortCode
from kits.models.codes import is_short_code, new_short_code
from kits.services.join import PER_ADDRESS, PER_BEGINNING, try_code
from kits.services.short_codes import LASTS, make_short_code
from tests.kits.factories import learner_client, make_user, make_workshop, teacher_client

pytestmark = pytest.mark.django_db

HOME = "192.0.2.1"


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("teacher"), kits=2, names=("Ayo", "Kaja")).kits.get(number=1)


def grow_old(kit: Kit) -> None:
    kit.short_codes.update(made_at=kit.short_codes.get().made_at - LASTS - timedelta(seconds=1))


def test_a_short_code_opens_its_kit_once(kit: Kit) -> None:
    code = make_short_code(kit)
    assert is_short_code(code)
    assert code != new_short_code()
    assert try_code(f" {code[:3].lower()}-{code[3:]} ", HOME).kit == kit
    assert try_code(code, HOME).outcome == "wrong"


def test_a_short_code_ends_after_two_minutes_and_with_the_next_one(kit: Kit) -> None:
    code = make_short_code(kit)
    grow_old(kit)
    assert try_code(code, HOME).outcome == "wrong"
    first, second = make_short_code(kit), make_short_code(kit)
    assert try_code(first, HOME).outcome == "wrong"
    assert try_code(second, HOME).kit == kit


def test_only_a_digest_is_kept_and_not_for_long(kit: Kit) -> None:
    code = make_short_code(kit)
    assert code not in ShortCode.objects.get().digest
    grow_old(kit)
    make_short_code(kit.workshop.kits.get(number=2))
    assert not kit.short_codes.exists()


def test_guessing_short_codes_is_slowed_down(kit: Kit) -> None:
    code = make_short_code(kit)
    for number in range(PER_BEGINNING):
        wrong = code[:4] + ("00" if code[4:] != "00" else "11")
        assert try_code(wrong, f"192.0.2.{number}").outcome == "wrong"
    assert try_code(code, "198.51.100.7").outcome == "wait"
    assert PER_ADDRESS < 32**6 / 1_000_000  # what one address may try is nothing beside what there is


def test_the_board_shows_codes_for_the_ticked_kits(kit: Kit) -> None:
    teacher = teacher_client(kit.workshop.owner)
    kits = [one.pk for one in kit.workshop.kits.all()]
    page = teacher.post(reverse("kits:bulk", args=[kit.workshop_id]), {"kits": kits, "action": "short-codes"})
    shown = re.findall(r'short-code">([0-9A-Z]{3}-[0-9A-Z]{3})<', page.content.decode())
    assert len(shown) == 2
    assert "no-store" in page["Cache-Control"]
    tablet = Client()
    assert tablet.post("/join/", {"code": shown[0]}).status_code == 302
    assert b"Kit 1" in tablet.get(reverse("kits:my-kit")).content
    assert Client().post("/join/", {"code": shown[0]}).status_code == 400


def test_of_a_pair_with_a_short_code_each_says_who_they_are(kit: Kit) -> None:
    kit.learners.add(Learner.objects.get(display_name="Kaja"))
    tablet = Client()
    page = tablet.post("/join/", {"code": make_short_code(kit)})
    assert b"Who are you?" in page.content
    assert kit.shown_code not in page.content.decode()  # the long code is not given away
    kaja = kit.learners.get(display_name="Kaja")
    assert tablet.post(reverse("kits:who"), {"learner": kaja.pk}).status_code == 302
    assert b"Kaja: leave" in tablet.get(reverse("kits:my-kit")).content
    ayo = kit.learners.get(display_name="Ayo")
    tablet.post(reverse("kits:who"), {"learner": ayo.pk})
    assert b"Ayo: leave" in tablet.get(reverse("kits:my-kit")).content


def test_nobody_of_another_kit_can_be_chosen(kit: Kit) -> None:
    tablet = learner_client(kit)
    stranger = Learner.objects.get(display_name="Kaja")
    assert tablet.post(reverse("kits:who"), {"learner": stranger.pk}).status_code == 400
    assert b"Ayo: leave" in tablet.get(reverse("kits:my-kit")).content


def test_the_teacher_signs_all_tablets_out_and_they_come_back_with_the_label(kit: Kit) -> None:
    tablet = learner_client(kit)
    assert tablet.get(reverse("kits:my-kit")).status_code == 200
    teacher_client(kit.workshop.owner).post(reverse("kits:learners-out", args=[kit.workshop_id]))
    assert tablet.get(reverse("kits:my-kit")).status_code == 302
    assert learner_client(kit).get(reverse("kits:my-kit")).status_code == 200
