"""`manage.py serve`: the web server and the background worker, until Ctrl-C.

With `--network`, ADDRESS of the environment is the address that learners type, for a machine on several networks.
"""

import argparse
import io
import os
import socket

import segno
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from kits.demo import sign_ins
from kits.serving import Children, answers, collect_static_files, local_address, port_is_free

LOOPBACK, ANYWHERE = "127.0.0.1", "0.0.0.0"

PLAIN_HTTP = """\
This is plain HTTP:
  - others on this network can read what is sent, names, codes and passwords too;
  - a page that is open cannot be loaded again while the network is down.
Use it only on a network that you trust. Ctrl-C ends it."""


class Command(BaseCommand):
    help = "Runs the web server and the background worker, and ends both on Ctrl-C."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument(
            "--port", default=os.environ.get("PORT") or "8000", help="default: PORT of the environment, else 8000"
        )
        parser.add_argument(
            "--network", action="store_true", help="let others on the local network in (default: this machine alone)"
        )

    def handle(self, *, port: str, network: bool, **options: object) -> None:
        number = _port(port)
        host = ANYWHERE if network else LOOPBACK
        _refuse_port_in_use(host, number)
        reached_at = (os.environ.get("ADDRESS") or local_address()) if network else LOOPBACK
        if reached_at is None:
            raise CommandError("This machine is on no network. Join one, or use `make run`.")
        if not settings.DEBUG:
            collect_static_files(settings.DATA_DIR / "static-files-collected")

        children = Children(settings.BASE_DIR, _environment(reached_at))
        children.stop_on_signals()
        try:
            self._run(children, host, number, reached_at)
        finally:
            children.stop()

    def _run(self, children: Children, host: str, port: int, reached_at: str) -> None:
        children.start("web server", _web_server(host, port))
        children.start("background worker", ("django", "db_worker", "--no-startup-delay", "--no-reload"))
        ended = children.watch(until=lambda: answers(f"http://{LOOPBACK}:{port}/healthz"))
        if ended is None and not children.asked_to_stop:
            self._announce(f"http://{reached_at}:{port}/", for_others=host == ANYWHERE)
            ended = children.watch()
        if ended is not None:
            name, code = ended
            raise CommandError(f"The {name} ended by itself (exit code {code}), so all of it is stopped. See above.")
        self.stdout.write("Stopped.")

    def _announce(self, address: str, *, for_others: bool) -> None:
        self.stdout.write(f"\nTieoff runs at {address}   (Ctrl-C ends it)\n")
        if for_others:
            self._draw_qr(address)
            self.stdout.write(PLAIN_HTTP)
        if demo := sign_ins():
            self.stdout.write("\nTo sign in to the demo:")
            for who, how in demo:
                self.stdout.write(f"  {who}: {how}")
            if for_others:
                self.stdout.write("Whoever reads this program's source knows these too: let no real class use them.")
        self.stdout.flush()

    def _draw_qr(self, address: str) -> None:
        drawn = io.StringIO()
        segno.make(address).terminal(out=drawn, compact=True)
        try:
            self.stdout.write(drawn.getvalue())
        except UnicodeEncodeError:
            self.stdout.write("(This terminal cannot draw a QR code: type the address.)")


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise CommandError(f"PORT is {text!r}: it must be a whole number from 1 to 65535, such as 8000.")
    return int(text)


def _refuse_port_in_use(host: str, port: int) -> None:
    try:
        free = port_is_free(host, port)
    except PermissionError:
        raise CommandError(f"Port {port} needs an administrator. Use 1024 or more: make run PORT=8000") from None
    if not free:
        raise CommandError(
            f"Port {port} is taken by another program (perhaps Tieoff runs already). "
            f"End that one, or use another port: make run PORT={port + 1 if port < 65535 else 8000}"
        )


def _environment(reached_at: str) -> dict[str, str]:
    """The children's environment: they answer to the names that the settings allow, and to `reached_at`."""
    hosts = [*settings.ALLOWED_HOSTS, reached_at]
    if reached_at != LOOPBACK:
        hosts += [socket.gethostname(), f"{socket.gethostname()}.local"]
    return {**os.environ, "TIEOFF_HOSTS": ",".join(dict.fromkeys(hosts))}


def _web_server(host: str, port: int) -> tuple[str, ...]:
    module, _, name = settings.WSGI_APPLICATION.rpartition(".")
    return (
        *("gunicorn", f"{module}:{name}", "--bind", f"{host}:{port}"),
        *("--workers", "2", "--threads", "8", "--timeout", "120", "--graceful-timeout", "5"),
        *("--log-level", "warning", "--no-control-socket"),
    )
