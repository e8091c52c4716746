"""Running the server and the background worker side by side, and ending both.

Used by the command `serve` alone.
"""

import hashlib
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

__all__ = ["Children", "answers", "collect_static_files", "local_address", "port_is_free"]

LET_WORK_END_SECONDS = 8
LET_GIVE_UP_SECONDS = 3


class Children:
    """Programs that run together: when one ends, or a stop is asked for, all end.

    Each has a session of its own, so that Ctrl-C reaches this process alone, which then ends them in order.
    """

    def __init__(self, folder: Path, environment: Mapping[str, str]) -> None:
        self._folder = folder
        self._environment = environment
        self._running: dict[str, subprocess.Popen[bytes]] = {}
        self.asked_to_stop = False

    def stop_on_signals(self) -> None:
        """From now on Ctrl-C, TERM and a closed terminal ask for a stop; a second one changes nothing."""
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, self._ask_to_stop)

    def _ask_to_stop(self, *_: object) -> None:
        self.asked_to_stop = True

    def start(self, name: str, arguments: Sequence[str]) -> None:
        """Start a Python module with its arguments, under the `name` that messages use."""
        # Should this process be killed outright, the kernel ends the child: no server is left behind.
        tied = ["setpriv", "--pdeathsig", "TERM", "--"] if shutil.which("setpriv") else []
        self._running[name] = subprocess.Popen(
            [*tied, sys.executable, "-m", *arguments],
            cwd=self._folder,
            env=self._environment,
            stdin=subprocess.DEVNULL,
            start_new_session=True,
        )

    def first_ended(self) -> tuple[str, int] | None:
        """Name and exit code of a child that has ended, if one has."""
        for name, child in self._running.items():
            if child.poll() is not None:
                return name, child.returncode
        return None

    def watch(self, until: Callable[[], bool] = lambda: False) -> tuple[str, int] | None:
        """Wait until a stop is asked for, `until` holds, or a child has ended; that child's name and code."""
        while not self.asked_to_stop and not until():
            if (ended := self.first_ended()) is not None:
                return ended
            time.sleep(0.2)
        return None

    def stop(self) -> None:
        """End all: ask, let running work end; ask again, which gives running work up; then kill."""
        for asked, seconds in ((signal.SIGTERM, LET_WORK_END_SECONDS), (signal.SIGTERM, LET_GIVE_UP_SECONDS)):
            self._signal_all(asked)
            if self._all_ended_within(seconds):
                return
        for child in self._running.values():
            if child.poll() is None:
                os.killpg(child.pid, signal.SIGKILL)
                child.wait()

    def _signal_all(self, number: int) -> None:
        for child in self._running.values():
            if child.poll() is None:
                child.send_signal(number)

    def _all_ended_within(self, seconds: float) -> bool:
        deadline = time.monotonic() + seconds
        while any(child.poll() is None for child in self._running.values()):
            if time.monotonic() > deadline:
                return False
            time.sleep(0.05)
        return True


def answers(url: str) -> bool:
    """Whether a web server answers at `url` at all, whatever it says."""
    try:
        with urllib.request.urlopen(url, timeout=2):
            return True
    except urllib.error.HTTPError:
        return True
    except OSError:
        return False


def port_is_free(host: str, port: int) -> bool:
    """Whether a server could listen there now; raises PermissionError for a port kept for root."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except PermissionError:
            raise
        except OSError:
            return False
    return True


def local_address() -> str | None:
    """This machine's IPv4 address on the local network, or None if it is on none.

    Connecting a datagram socket sends nothing: the kernel only chooses the way out. The far end is an address
    kept for documentation (RFC 5737).
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return None
        address: str = probe.getsockname()[0]
    return None if address.startswith("127.") else address


def collect_static_files(stamp: Path) -> None:
    """Gather and compress all static files, unless none has changed since the `stamp` was written."""
    state = hashlib.sha256()
    for finder in get_finders():
        for path, storage in finder.list(None):
            found = Path(storage.path(path)).stat()
            state.update(f"{path} {found.st_size} {found.st_mtime_ns}\n".encode())
    if stamp.exists() and stamp.read_text(encoding="ascii") == state.hexdigest():
        return
    stamp.unlink(missing_ok=True)
    call_command("collectstatic", interactive=False, verbosity=0, clear=True)
    stamp.write_text(state.hexdigest(), encoding="ascii")
