"""A site served as in earnest, and learners who save their plans over HTTP; others measure with it."""

from __future__ import annotations

import http.client
import json
import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from typing import Any

from django.conf import settings
from django.db import connection

from kits.models import Kit
from kits.serving import answers
from projects.stored import layout_json
from tests.kits.factories import learner_client

__all__ = ["Learner", "quantile", "served", "together"]

FOLDER = Path(__file__).parent.parent.parent
CSRF = "b" * 32  # cookie and header need only be equal


@contextmanager
def served() -> Iterator[str]:
    """Serve a copy of the rows made so far with gunicorn, SQLite and packed static files; gives its address.

    Two processes of eight threads, as `serve` starts. The copy lies in the tests' data folder, and is gone with it.
    """
    assert connection.vendor == "sqlite", "measured on SQLite: leave DATABASE_URL out"
    folder = Path(settings.DATA_DIR)
    copy = folder / "tieoff.sqlite3"
    copy.unlink(missing_ok=True)
    with connection.cursor() as cursor:
        cursor.execute("VACUUM INTO %s", [str(copy)])
    environment = {key: value for key, value in os.environ.items() if key not in ("DATABASE_URL", "TIEOFF_DEBUG")}
    environment |= {"TIEOFF_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "config.settings"}
    manage = [sys.executable, "manage.py", "collectstatic", "--noinput", "-v0"]
    subprocess.run(manage, cwd=FOLDER, env=environment, check=True)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{free.getsockname()[1]}"
    options = ["--bind", address, "--workers", "2", "--threads", "8", "--log-level", "error"]
    server = subprocess.Popen([sys.executable, "-m", "gunicorn", *options, "config.wsgi"], cwd=FOLDER, env=environment)
    try:
        while not answers(f"http://{address}/healthz"):
            assert server.poll() is None, "the server ended"
            time.sleep(0.2)
        yield address
    finally:
        server.terminate()
        server.wait(timeout=15)
        for left in folder.glob("tieoff.sqlite3*"):
            left.unlink()


@dataclass
class Learner:
    """Somebody with a kit, signed in before the rows were copied; moves the first part to and fro and saves."""

    kit: Kit
    cookie: str = ""
    version: int = 0
    seconds: list[float] = field(default_factory=list)
    errors: int = 0
    sent: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.cookie = learner_client(self.kit).cookies[settings.SESSION_COOKIE_NAME].value
        self.version, self.sent = self.kit.layout_version, layout_json(self.kit.read().layout)

    def save(self, address: str) -> None:
        """One change, saved as the page does; its time is noted, findings included."""
        first, *others = self.sent["places"]
        layout = {**self.sent, "places": [{**first, "x": first["x"] + random.choice((-0.5, 0.5))}, *others]}
        body = json.dumps({"version": self.version, "layout": layout})
        headers = {"Cookie": f"{settings.SESSION_COOKIE_NAME}={self.cookie}; csrftoken={CSRF}"}
        headers |= {"X-CSRFToken": CSRF, "Content-Type": "application/json", "Accept": "application/json"}
        start = time.perf_counter()
        line = http.client.HTTPConnection(address, timeout=30)
        try:
            line.request("POST", f"/kits/{self.kit.pk}/layout/save/", body, headers)
            response = line.getresponse()
            answer = json.loads(response.read())
            assert response.status == 200, answer
        except (OSError, ValueError, AssertionError, http.client.HTTPException):
            self.errors += 1
            return
        finally:
            line.close()
        self.seconds.append(time.perf_counter() - start)
        self.version, self.sent = answer["version"], layout

    def work(self, address: str, until: float, pace: float) -> None:
        """A change every `pace` seconds, more or less, until a moment of `time.monotonic`."""
        while (wait := random.uniform(0.5, 1.5) * pace) + time.monotonic() < until:
            time.sleep(wait)
            self.save(address)

    def lost(self, address: str) -> bool:
        """Whether what the site now has is not what was saved last."""
        line = http.client.HTTPConnection(address, timeout=30)
        cookie = {"Cookie": f"{settings.SESSION_COOKIE_NAME}={self.cookie}"}
        line.request("GET", f"/kits/{self.kit.pk}/layout/", headers=cookie)
        page = line.getresponse().read().decode()
        line.close()
        start = page.index(">", page.index('id="layout-data"')) + 1
        data = json.loads(page[start : page.index("</script>", start)])
        return bool(data["version"] != self.version or data["layout"] != self.sent)


@contextmanager
def together(learners: list[Learner], address: str, pace: float, seconds: float) -> Iterator[None]:
    """All of them at work for at least so many seconds, beside what is done inside."""
    until = time.monotonic() + seconds
    threads = [Thread(target=one.work, args=(address, until, pace), daemon=True) for one in learners]
    for thread in threads:
        thread.start()
    yield
    for thread in threads:
        thread.join()


def quantile(values: list[float], share: float) -> float:
    """The value that such a share of them does not exceed (nearest rank)."""
    ranked = sorted(values)
    return ranked[min(len(ranked) - 1, max(0, round(share * len(ranked) + 0.5) - 1))]
