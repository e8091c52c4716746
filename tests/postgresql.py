"""A real PostgreSQL for tests, and running the site's own commands against it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

from django.conf import settings

__all__ = ["manage", "run", "server"]


def programs() -> Path:
    """Folder of the newest PostgreSQL that Debian installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
    assert found, "postgresql is missing: `make test` installs it"
    return found[-1]


def run_as_its_user(*command: str | Path) -> None:
    # The server refuses to run as root, so root lends it the user that Debian made for it.
    lent = ["runuser", "-u", "postgres", "--"] if os.getuid() == 0 else []
    subprocess.run([*lent, *map(str, command)], check=True, stdout=subprocess.DEVNULL, cwd="/", timeout=120)


@contextmanager
def server() -> Iterator[str]:
    """The address of a cluster of its own, reached by a socket in its own folder: no port, nobody else's data."""
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
    """What a command prints, in a process of its own with this database (SQLite in `data` if the address is empty)."""
    return run(database_url, data, "manage.py", *arguments)


def run(database_url: str, data: Path, *arguments: str, seconds: int = 120) -> str:
    """The same for any Python program of the repository, which has so many seconds."""
    environment = {
        **os.environ,
        "DATABASE_URL": database_url,
        "TIEOFF_DATA": str(data),
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    ended = subprocess.run(
        [sys.executable, *arguments],
        cwd=settings.BASE_DIR,
        env=environment,
        capture_output=True,
        text=True,
        timeout=seconds,
    )
    assert ended.returncode == 0, ended.stderr
    return ended.stdout
