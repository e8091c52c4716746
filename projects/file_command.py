"""What the commands on project files share: reading the file, answering, and how they end."""

from __future__ import annotations

import argparse
import json
import sys
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.core.management.base import BaseCommand

from projects.circuit.document import Document
from projects.circuit.json_text import MAX_BYTES
from projects.circuit.project_file import Refusal, read
from projects.circuit.refusal import quoted
from projects.circuit.text import msg

__all__ = ["Answer", "FileCommand", "read_named"]

DOES_NOT_PASS, REFUSED = 1, 2


@dataclass(frozen=True)
class Answer:
    """What a command says of a file: in plain words, as JSON values, and whether the file passes."""

    text: str
    json: object
    ok: bool


class FileCommand(BaseCommand, ABC):
    """A command that reads one project file and needs no database.

    It prints `text`, or with `--json` the JSON, and exits 0 (passes), 1 (does not) or 2 (refused: one
    line on standard error). A subclass gives `help`, `respond` and, if it has options, `add_options`.
    """

    requires_system_checks = []

    def add_options(self, parser: argparse.ArgumentParser) -> None:
        """Options of one command beside FILE and --json."""

    @abstractmethod
    def respond(self, document: Document, options: Mapping[str, Any]) -> Answer:
        """The answer for this document; may raise Refusal."""

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="a project file, or - for standard input")
        parser.add_argument("--json", action="store_true", help="print JSON")
        self.add_options(parser)

    def handle(self, *args: object, **options: Any) -> None:
        try:
            answer = self.respond(read(read_named(options["file"])), options)
        except Refusal as refusal:
            # Not a CommandError: that would put its own name before the place.
            self.stderr.write(str(refusal))
            sys.exit(REFUSED)
        if options["json"]:
            self.stdout.write(json.dumps(answer.json, ensure_ascii=False, allow_nan=False, indent=2))
        else:
            self.stdout.write(answer.text)
        if not answer.ok:
            sys.exit(DOES_NOT_PASS)


def read_named(name: str) -> bytes:
    """The bytes of the file of that name, `-` for standard input; Refusal where it cannot be read.

    One byte more than a project file may have is enough to refuse it, so an endless input ends.
    """
    try:
        if name == "-":
            return sys.stdin.buffer.read(MAX_BYTES + 1)
        with open(name, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise Refusal(
            quoted(name),
            msg("it cannot be read ({why})", why=why),
            msg("a project file, or - for standard input"),
        ) from None
