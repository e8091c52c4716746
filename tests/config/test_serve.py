"""`manage.py serve` as a program of its own: it starts, answers, and ends with all its children."""

import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

ROOT = settings.BASE_DIR


@pytest.fixture(scope="session")
def environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The environment of a site of its own, with its tables made."""
    environment = {
        **os.environ,
        "TIEOFF_DATA": str(tmp_path_factory.mktemp("data")),
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "PYTHONUNBUFFERED": "1",
    }
    for name in ("DATABASE_URL", "PORT", "ADDRESS", "TIEOFF_HOSTS", "TIEOFF_DEBUG"):
        environment.pop(name, None)
    subprocess.run([sys.executable, "manage.py", "migrate", "--verbosity", "0"], cwd=ROOT, env=environment, check=True)
    return environment


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Served:
    """The command running on a free port, with what it printed so far."""

    def __init__(self, environment: dict[str, str], *arguments: str) -> None:
        self.port = free_port()
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "serve", "--port", str(self.port), *arguments],
            cwd=ROOT,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.printed = ""
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout
        for line in self.process.stdout:
            self.printed += line

    def wait_for(self, words: str, seconds: float = 60) -> None:
        deadline = time.monotonic() + seconds
        while words not in self.printed:
            assert time.monotonic() < deadline, f"{words!r} was not printed, but: {self.printed}"
            time.sleep(0.05)

    def descendants(self) -> dict[int, str]:
        """Process id → command line of everything below this process, read from the kernel."""
        parents: dict[int, int] = {}
        lines: dict[int, str] = {}
        for folder in Path("/proc").glob("[0-9]*"):
            try:
                parents[int(folder.name)] = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
                lines[int(folder.name)] = (folder / "cmdline").read_text().replace("\0", " ")
            except OSError:
                continue
        found = {self.process.pid}
        while more := {child for child, parent in parents.items() if parent in found} - found:
            found |= more
        return {number: lines[number] for number in found - {self.process.pid}}


@pytest.fixture
def served(environment: dict[str, str]) -> Iterator[Served]:
    running = Served(environment)
    yield running
    if running.process.poll() is None:
        running.process.kill()
    running.process.wait()


def alive(process: int) -> bool:
    try:
        return "\nState:\tZ" not in Path(f"/proc/{process}/status").read_text()
    except OSError:
        return False


def wait_until_gone(processes: dict[int, str]) -> None:
    deadline = time.monotonic() + 15
    while left := [line for number, line in processes.items() if alive(number)]:
        assert time.monotonic() < deadline, f"still running: {left}"
        time.sleep(0.05)


def get(port: int, path: str) -> str:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=10) as answer:
        text: str = answer.read().decode()
    return text


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_answers_and_one_signal_ends_everything(served: Served, number: signal.Signals) -> None:
    served.wait_for("Ctrl-C ends it")
    assert f"http://127.0.0.1:{served.port}/" in served.printed
    assert get(served.port, "/healthz") == "ok\n"
    below = served.descendants()
    assert any("gunicorn" in line for line in below.values())
    assert any("db_worker" in line for line in below.values())

    served.process.send_signal(number)

    assert served.process.wait(timeout=20) == 0
    wait_until_gone(below)
    with socket.socket() as caller:
        assert caller.connect_ex(("127.0.0.1", served.port)) != 0


def test_static_files_are_served_compressed_under_names_that_last(served: Served, environment: dict[str, str]) -> None:
    served.wait_for("Ctrl-C ends it")
    page = get(served.port, "/admin/login/")
    address = re.search(r'href="(/static/admin/css/base\.[0-9a-f]{12}\.css)"', page)
    assert address, page
    asked = urllib.request.Request(f"http://127.0.0.1:{served.port}{address[1]}", headers={"Accept-Encoding": "gzip"})
    with urllib.request.urlopen(asked, timeout=10) as answer:
        assert answer.headers["Content-Encoding"] == "gzip"
        assert "immutable" in answer.headers["Cache-Control"]


def test_a_class_is_told_the_address_its_picture_and_what_plain_http_means(environment: dict[str, str]) -> None:
    running = Served({**environment, "ADDRESS": "10.0.0.7"}, "--network")
    try:
        running.wait_for("Use it only on a network that you trust")
        assert f"http://10.0.0.7:{running.port}/" in running.printed
        assert "█" in running.printed
        asked = urllib.request.Request(
            f"http://127.0.0.1:{running.port}/admin/login/", headers={"Host": f"10.0.0.7:{running.port}"}
        )
        with urllib.request.urlopen(asked, timeout=10) as answer:
            assert answer.status == 200
    finally:
        running.process.terminate()
        running.process.wait(timeout=20)


def test_when_one_part_ends_by_itself_all_of_it_stops_and_says_so(served: Served) -> None:
    served.wait_for("Ctrl-C ends it")
    below = served.descendants()
    worker = next(number for number, line in below.items() if "db_worker" in line)
    os.kill(worker, signal.SIGKILL)
    assert served.process.wait(timeout=20) == 1
    served.wait_for("The background worker ended by itself", seconds=2)
    wait_until_gone(below)


def test_nothing_is_left_when_it_is_killed_outright(served: Served) -> None:
    served.wait_for("Ctrl-C ends it")
    below = served.descendants()
    served.process.kill()
    wait_until_gone(below)


def test_a_port_in_use_is_said_clearly(environment: dict[str, str]) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        taken = other.getsockname()[1]
        ended = subprocess.run(
            [sys.executable, "manage.py", "serve", "--port", str(taken)],
            cwd=ROOT,
            env=environment,
            capture_output=True,
            text=True,
            timeout=60,
        )
    assert ended.returncode == 1
    assert f"Port {taken} is taken" in ended.stderr
    assert len(ended.stderr.strip().splitlines()) == 1


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eighty", "80.5", "²"])
def test_a_port_that_is_none_is_refused(port: str) -> None:
    with pytest.raises(CommandError, match="it must be a whole number from 1 to 65535"):
        call_command("serve", port=port)


def test_without_a_network_a_class_cannot_be_served(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("ADDRESS", raising=False)
    monkeypatch.setattr("kits.management.commands.serve.local_address", lambda: None)
    with pytest.raises(CommandError, match="on no network"):
        call_command("serve", port=str(free_port()), network=True)
