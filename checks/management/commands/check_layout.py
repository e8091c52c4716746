"""`manage.py check_layout FILE`: what is wrong with a layout, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checks.engine import check
from checks.findings import Level, Report, to_json
from projects.circuit.document import Document
from projects.circuit.text import Message, msg
from projects.file_command import Answer, FileCommand
from projects.said import say

HEADINGS: tuple[tuple[Level, Message], ...] = (
    ("stop", msg("Put this right:")),
    ("look", msg("Look here:")),
    ("note", msg("Good to know:")),
)


class Command(FileCommand):
    help = "Check the layout of a project file: what the thread really joins, and what will not work."

    def respond(self, document: Document, options: Mapping[str, Any]) -> Answer:
        report = check(document)
        return Answer("\n".join(_lines(report)), to_json(report, say), report.passes)


def _lines(report: Report) -> Iterator[str]:
    """Findings by level, each with how to mend it, then the verdict."""
    for level, heading in HEADINGS:
        findings = [finding for finding in report.findings if finding.level == level]
        if findings:
            yield say(heading)
        for finding in findings:
            yield f"  {finding.rule}: {say(finding.text)} {say(finding.fix)}"
    if report.crashed:
        yield say(msg("Not all was checked. These rules failed: {rules}.", rules=", ".join(report.crashed)))
    if not report.all_situations:
        count = sum(one.cell == "fresh" for one in report.situations)
        few = msg("There are too many ways to set this. We tried {count}, one change at a time.", count=count)
        yield say(few)
    yield say(msg("All is well. You can sew.") if report.passes else msg("Do not sew yet."))
