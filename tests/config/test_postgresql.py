"""The whole schema on a real PostgreSQL, named by `DATABASE_URL`."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.postgresql import manage, server


@pytest.fixture(scope="module")
def database_url() -> Iterator[str]:
    with server() as address:
        yield address


def test_all_tables_are_made_there_and_keep_what_they_are_given(database_url: str, tmp_path: Path) -> None:
    manage(database_url, tmp_path, "migrate", "--verbosity", "0")
    assert "[ ]" not in manage(database_url, tmp_path, "showmigrations", "--list")
    manage(database_url, tmp_path, "shell", "-c", _MAKE)
    assert manage(database_url, tmp_path, "shell", "-v0", "-c", _READ).strip() == "postgresql ['ada']"
    assert [path.name for path in tmp_path.iterdir()] == ["secret-key"]


_MAKE = "from django.contrib.auth.models import User; User.objects.create_user('ada')"
_READ = (
    "from django.contrib.auth.models import User; from django.db import connection; "
    "print(connection.vendor, [user.username for user in User.objects.all()])"
)
