"""`manage.py step_sheet FILE -o OUT.pdf`: step sheet and materials list of a project file; needs no database."""

from __future__ import annotations

import argparse
import os
import secrets
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from checks.engine import check
from kits.plan.make import make_plan
from kits.sheets.content import Heading, Sheet, materials_list, step_sheet
from kits.sheets.render import pdf
from kits.supplies.class_needs import KitNeeds, class_needs
from projects.circuit.document import Document
from projects.circuit.refusal import Refusal, quoted
from projects.circuit.text import msg
from projects.file_command import Answer, FileCommand
from projects.said import say

_PAPERS = {"a4": "A4", "letter": "Letter"}


class Command(FileCommand):
    help = "Write the step sheet and the materials list of a project file as one PDF."

    def add_options(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("-o", "--output", metavar="OUT.pdf", required=True, help="the PDF to write")
        parser.add_argument("--paper", choices=list(_PAPERS), default="a4", help="paper size (default: %(default)s)")
        parser.add_argument("--units", choices=["cm", "inch"], default="cm", help="units (default: %(default)s)")
        parser.add_argument("--kits", type=_count, metavar="N", help="also list what N such kits take")

    def respond(self, document: Document, options: Mapping[str, Any]) -> Answer:
        """Writes the PDF, with a banner if the layout has a stop; passes if it has none."""
        plan, report = make_plan(document), check(document)
        heading, units = Heading(document.project.title), options["units"]
        kits = options["kits"] or 0
        needs = class_needs([KitNeeds(document.project, plan)] * kits)
        sheets: list[Sheet] = [
            step_sheet(document, plan, report, heading=heading, units=units, say=say),
            materials_list(document, plan, heading=heading, units=units, kits=kits, needs=needs),
        ]
        path = Path(options["output"])
        _write(path, pdf(sheets, "A4" if options["paper"] == "a4" else "Letter"))
        stops = sum(finding.level == "stop" for finding in report.findings)
        text = f"Wrote {path}."
        if stops or not report.complete:
            text += f" Do not sew this layout yet: stops found {stops}; the sheet lists them."
        return Answer(text, {"output": str(path), "pass": report.passes, "stops": stops}, report.passes)


def _count(text: str) -> int:
    number = int(text)
    if not 1 <= number <= 1000:
        raise argparse.ArgumentTypeError("a number from 1 to 1000")
    return number


def _write(path: Path, content: bytes) -> None:
    """Write the file whole or not at all. Raises Refusal where it cannot be written."""
    draft = path.with_name(f".{path.name[:100]}-{secrets.token_hex(4)}")
    try:
        try:
            draft.write_bytes(content)
            os.replace(draft, path)
        finally:
            draft.unlink(missing_ok=True)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise Refusal(
            quoted(str(path)), msg("it cannot be written ({why})", why=why), msg("a name in a folder that is there")
        ) from None
