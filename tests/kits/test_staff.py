"""Helpers and cover teachers: invitations, the one day, and being taken off."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from kits.models import Cover, Invitation, Workshop
from kits.services.layouts import NotNow
from kits.services.staff import accept_invitation, invite
from tests.kits.factories import make_user, make_workshop, page, teacher_client

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja"))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


def test_an_invitation_makes_one_helper_once(workshop: Workshop) -> None:
    code = invite(workshop, Invitation.Role.HELPER, None).shown_code
    helper, late = make_user("helper"), make_user("late")
    client = teacher_client(helper)
    answer = client.post(reverse("kits:invitation"), {"code": code.lower()})
    assert answer["Location"] == reverse("kits:board", args=[workshop.pk])
    assert client.get(answer["Location"]).status_code == 200
    with pytest.raises(NotNow, match="opens nothing"):
        accept_invitation(code, late)
    assert list(workshop.helpers.all()) == [helper]


def test_all_codes_that_open_nothing_get_the_same_answer(workshop: Workshop) -> None:
    client = teacher_client(make_user("helper"))
    old = invite(workshop, Invitation.Role.HELPER, None)
    Invitation.objects.filter(pk=old.pk).update(made_at=timezone.now() - timedelta(days=15))
    answers = {
        client.post(reverse("kits:invitation"), {"code": code})
        .content.decode()
        .split('<div id="div_id_code"')[1]
        .count("opens nothing")
        for code in (old.code, "7" * 12, "x", "%00")
    }
    assert answers == {1}
    assert not workshop.helpers.exists()


def test_a_teacher_cannot_take_up_their_own_invitation(workshop: Workshop) -> None:
    with pytest.raises(NotNow, match="your own"):
        accept_invitation(invite(workshop, Invitation.Role.HELPER, None).code, workshop.owner)
    assert Invitation.objects.exists()


def test_a_cover_teacher_finds_the_class_on_the_day_only(workshop: Workshop) -> None:
    today = timezone.localdate()
    cover = make_user("cover")
    client = teacher_client(cover)
    accept_invitation(invite(workshop, Invitation.Role.COVER, today + timedelta(days=1)).code, cover)
    assert client.get(reverse("kits:class-today", args=[workshop.pk])).status_code == 404
    home = page(client, "home")
    assert "You cover" in home
    assert reverse("kits:board", args=[workshop.pk]) not in home
    Cover.objects.update(day=today)
    assert reverse("kits:class-today", args=[workshop.pk]) in page(client, "home")
    shown = page(client, "class-today", workshop.pk)
    for text in ("Ayo", "Kaja", "Coin cells", "Do not make the child vomit", "Place the parts, draw the lines."):
        assert text in shown
    assert "you cover this class today" in page(client, "board", workshop.pk)


def test_a_day_that_is_over_cannot_be_covered(workshop: Workshop, teacher: Client) -> None:
    address = reverse("kits:helpers", args=[workshop.pk])
    yesterday = timezone.localdate() - timedelta(days=1)
    for day in (yesterday.isoformat(), ""):
        assert teacher.post(address, {"role": "cover", "day": day}).status_code == 400
    assert teacher.post(address, {"role": "cover", "day": timezone.localdate().isoformat()}).status_code == 302
    assert Invitation.objects.get().day == timezone.localdate()


def test_everyone_asked_can_be_taken_off_and_nobody_of_another_class(workshop: Workshop, teacher: Client) -> None:
    helper = make_user("helper")
    far = make_workshop(make_user("other"), kits=1)
    for one in (workshop, far):
        one.helpers.add(helper)
        one.covers.create(user=helper, day=timezone.localdate())
        invite(one, Invitation.Role.HELPER, None)
    address = reverse("kits:remove-helper", args=[workshop.pk])
    for what, own, others in (
        ("cover", workshop.covers.get().pk, far.covers.get().pk),
        ("invitation", workshop.invitations.get().pk, far.invitations.get().pk),
        ("helper", helper.pk, far.owner.pk),
    ):
        teacher.post(address, {"what": what, "row": others})
        teacher.post(address, {"what": what, "row": own})
    assert (workshop.helpers.count(), workshop.covers.count(), workshop.invitations.count()) == (0, 0, 0)
    assert (far.helpers.count(), far.covers.count(), far.invitations.count()) == (1, 1, 1)
    assert User.objects.count() == 3
