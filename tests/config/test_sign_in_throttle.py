"""Guessing a teacher's password is slowed, and the class behind the same address is not."""

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

RIGHT = "cotton-button-9"


def signs_in(name: str, password: str, address: str = "10.0.0.5") -> bool:
    client = Client(REMOTE_ADDR=address)
    client.post("/admin/login/", {"username": name, "password": password})
    return "_auth_user_id" in client.session


@pytest.fixture
def _teachers(db) -> None:
    for name in ("ada", "ben"):
        get_user_model().objects.create_user(name, password=RIGHT, is_staff=True)


@pytest.mark.usefixtures("_teachers")
def test_too_many_wrong_passwords_lock_that_name_at_that_address_alone(settings) -> None:
    for _ in range(settings.AXES_FAILURE_LIMIT):
        assert not signs_in("ada", "wrong")
    assert not signs_in("ada", RIGHT)
    assert signs_in("ben", RIGHT)
    assert signs_in("ada", RIGHT, address="10.0.0.6")


@pytest.mark.usefixtures("_teachers")
def test_a_right_password_clears_what_went_before(settings) -> None:
    for _ in range(2):
        for _ in range(settings.AXES_FAILURE_LIMIT - 1):
            assert not signs_in("ada", "wrong")
        assert signs_in("ada", RIGHT)


@pytest.mark.usefixtures("_teachers")
def test_the_locked_page_says_how_long_to_wait(settings) -> None:
    for _ in range(settings.AXES_FAILURE_LIMIT):
        assert not signs_in("ada", "wrong")
    answer = Client(REMOTE_ADDR="10.0.0.5").post("/admin/login/", {"username": "ada", "password": RIGHT})
    assert answer.status_code == 429
    assert "Wait ten minutes" in answer.content.decode()
    assert settings.AXES_COOLOFF_TIME.total_seconds() == 600
