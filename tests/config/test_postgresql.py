"""The whole schema on a real PostgreSQL, named by `DATABASE_URL`."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from django.conf import settings


def programs() -> Path:
    """Folder of the newest PostgreSQL that Debian installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
    assert found, "postgresql is missing: `make test` installs it"
    return found[-1]


def run_as_its_user(*command: str | Path) -> None:
    # The server refuses to run as root, so root lends it the user that Debian made for it.
    lent = ["runuser", "-u", "postgres", "--"] if os.getuid() == 0 else []
    subprocess.run([*lent, *map(str, command)], check=True, stdout=subprocess.DEVNULL, cwd="/", timeout=120)


@pytest.fixture(scope="module")
def database_url() -> Iterator[str]:
    """A cluster of its own, reached by a socket in its own folder: no port, nobody else's data."""
    folder = Path(tempfile.mkdtemp(prefix="tieoff-pg-"))
    if os.getuid() == 0:
        shutil.chown(folder, "postgres")
    control = programs() / "pg_ctl"
    try:
        run_as_its_user(
            programs() / "initdb", "-D", folder / "data", "-U", "tieoff", "-A", "trust", "-E", "UTF8", "--no-sync"
        )
        options = f"-c listen_addresses='' -c fsync=off -k {folder}"
        run_as_its_user(control, "-D", folder / "data", "-l", folder / "log", "-o", options, "-w", "start")
        try:
            yield f"postgres://tieoff@{quote(str(folder), safe='')}/postgres"
        finally:
            run_as_its_user(control, "-D", folder / "data", "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder)


def manage(database_url: str, data: Path, *arguments: str) -> str:
    environment = {
        **os.environ,
        "DATABASE_URL": database_url,
        "TIEOFF_DATA": str(data),
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    ended = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=settings.BASE_DIR,
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert ended.returncode == 0, ended.stderr
    return ended.stdout


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
