"""Joining by code: what opens a kit, and how guesses are slowed down."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from kits.models import FailedTry, Kit
from kits.models.codes import ALPHABET, CODE_LENGTH, grouped, new_code, normalised
from kits.services.join import PER_ADDRESS, PER_BEGINNING, WINDOW, try_code
from tests.kits.factories import learner_client, make_user, make_workshop

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("teacher"), kits=2, names=("Ayo",)).kits.get(number=1)


def wrong(number: int) -> str:
    """A wrong code; each number begins in a way of its own."""
    return f"{number:04d}".replace("I", "1") + "ZZZZZZZZ"


def test_a_code_has_at_least_fifty_bits() -> None:
    assert len(ALPHABET) ** CODE_LENGTH >= 2**50
    assert len(set(ALPHABET)) == 32
    assert len({new_code() for _ in range(1000)}) == 1000


def test_a_code_is_read_as_children_type_it(kit: Kit) -> None:
    kit.code = "K7M03PX19QRD"
    kit.save()
    for typed in ("K7M0-3PX1-9QRD", "k7m0 3px1 9qrd", " k7mo3pxl9qrd ", "K7MO–3PXI–9QRD"):
        assert try_code(typed, "10.0.0.1").kit == kit
    assert normalised(grouped(kit.code)) == kit.code
    assert not FailedTry.objects.exists()


def test_a_wrong_code_opens_nothing_and_is_counted_without_address_or_code(kit: Kit) -> None:
    assert try_code("AAAA-AAAA-AAAA", "10.0.0.1").outcome == "wrong"
    kept = FailedTry.objects.get()
    assert "10.0.0.1" not in kept.address
    assert "AAAA" not in kept.beginning


def test_a_whole_class_joins_at_once_behind_one_address_and_mistypes_twice_each(kit: Kit) -> None:
    for number in range(64):
        assert try_code(wrong(number), "10.0.0.1").outcome == "wrong"
    for _ in range(32):
        assert try_code(kit.code, "10.0.0.1").outcome == "joined"


def test_an_address_that_guesses_on_and_on_has_to_wait_and_others_do_not(kit: Kit) -> None:
    for number in range(PER_ADDRESS):
        assert try_code(wrong(number), "10.0.0.1").outcome == "wrong"
    assert try_code(kit.code, "10.0.0.1").outcome == "wait"
    assert try_code(kit.code, "10.0.0.2").outcome == "joined"


def test_guessing_the_rest_of_a_code_has_to_wait_from_any_address(kit: Kit) -> None:
    beginning = kit.code[:4]
    for number in range(PER_BEGINNING):
        assert try_code(f"{beginning}ZZZZZZZ{number}", f"10.0.0.{number}").outcome == "wrong"
    assert try_code(kit.code, "10.0.0.99").outcome == "wait"


def test_after_the_window_everyone_may_try_again(kit: Kit) -> None:
    for number in range(PER_BEGINNING):
        try_code(f"{kit.code[:4]}ZZZZZZZ{number}", "10.0.0.1")
    FailedTry.objects.all().update(at=timezone.now() - WINDOW - timedelta(seconds=1))
    assert try_code(kit.code, "10.0.0.1").outcome == "joined"
    assert not FailedTry.objects.exists()


def test_no_code_of_another_length_is_looked_up(kit: Kit) -> None:
    for typed in ("", kit.code[:-1], kit.code + "0", "x" * 40, "\x00" * 12, "😀" * 12):
        assert try_code(typed, "10.0.0.1").outcome == "wrong"


def test_the_page_says_what_to_do_and_keeps_what_was_typed(kit: Kit, client: Client) -> None:
    answer = client.post("/join/", {"code": "aaaa-bbbb-cccc"})
    assert answer.status_code == 400
    assert "Look at the label again" in answer.content.decode()
    assert 'value="aaaa-bbbb-cccc"' in answer.content.decode()


def test_the_page_asks_to_wait_with_429(kit: Kit, client: Client) -> None:
    for number in range(PER_BEGINNING):
        client.post("/join/", {"code": f"{kit.code[:4]}ZZZZZZZ{number}"})
    assert client.post("/join/", {"code": kit.code}).status_code == 429


def test_opening_a_label_link_looks_nothing_up(kit: Kit, client: Client, django_assert_num_queries: object) -> None:
    with django_assert_num_queries(0):  # type: ignore[operator]
        real, made_up = client.get(f"/join/{kit.code}/"), client.get("/join/AAAAAAAAAAAA/")
    assert without_code(real, kit.code) == without_code(made_up, "A" * 12)


def without_code(page: HttpResponse, code: str) -> str:
    """What a page says apart from the code and its own token against forged forms."""
    text = page.content.decode().replace(grouped(code), "")
    return re.sub(r'(csrfmiddlewaretoken" value=|X-CSRFToken": )"[^"]+"', "", text)


def test_those_who_share_a_kit_say_who_they_are(kit: Kit) -> None:
    other = kit.workshop.learners.create(display_name="Kaja")
    kit.learners.add(other)
    page = Client().post("/join/", {"code": kit.code})
    assert page.status_code == 200
    assert "Who are you?" in page.content.decode()
    assert "Kaja" in learner_client(kit, other).get("/my-kit/").content.decode()


def test_a_learner_of_another_kit_cannot_be_chosen(kit: Kit) -> None:
    kit.learners.add(kit.workshop.learners.create(display_name="Kaja"))
    stranger = kit.workshop.learners.create(display_name="Cem")
    assert Client().post("/join/", {"code": kit.code, "learner": stranger.pk}).status_code == 200


def test_joining_signs_a_teacher_out(kit: Kit) -> None:
    client = Client()
    client.force_login(kit.workshop.owner)
    client.post("/join/", {"code": kit.code})
    assert client.get("/workshops/").status_code == 404
    assert client.get("/my-kit/").status_code == 200


def test_signing_in_as_teacher_ends_the_learners_session(kit: Kit) -> None:
    client = learner_client(kit)
    client.post("/sign-in/", {"username": "teacher", "password": "teacher-pass-word"})
    assert client.get("/my-kit/").status_code == 404
    client.post("/sign-out/")
    assert client.get("/my-kit/").status_code == 302


def test_a_learner_is_signed_in_until_midnight(kit: Kit) -> None:
    ends = learner_client(kit).session.get_expiry_date()
    assert ends > timezone.now()
    local = timezone.localtime(ends)
    assert (local.hour, local.minute) == (0, 0)
    assert ends - timezone.now() <= timedelta(days=1)


def test_sign_in_does_not_tell_names_apart(client: Client) -> None:
    make_user("teacher")
    pages = [
        client.post("/sign-in/", {"username": name, "password": "wrong"}).content.decode().replace(name, "")
        for name in ("teacher", "nobodyy")
    ]
    assert pages[0].split("alert")[1][:200] == pages[1].split("alert")[1][:200]
