"""What was really sewn where it is not what the plan said: redraw the line, and check what is on the fabric."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from checks.engine import check
from checks.findings import Finding, Report
from checks.rules import RULES
from kits.plan.so_far import sewn_so_far
from projects.circuit import project_file
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from projects.circuit.project import Project
from projects.circuit.refusal import Refusal
from projects.circuit.sewing import line_connections
from projects.circuit.text import msg

__all__ = ["check_sewn", "sewn_differently"]

REAL = (
    "dead-short",
    "off-fabric",
    "loose-end",
    "short",
    "reversed",
    "open",
    "under-part",
    "too-close",
    "over-part",
    "stray",
    "fold-touch",
)
"""Rules of what thread does; those of the circuit, and of what a whole layout lacks, say nothing of a part of it."""
NEEDS_ALL = ("open", "reversed", "loose-end")
"""True only of connections of which every planned line is sewn."""


def sewn_differently(
    document: Document,
    line: str,
    via: Sequence[tuple[float, float]],
    *,
    start: str | None = None,
    end: str | None = None,
) -> Document:
    """The document with that line as it was really sewn: over `via`, and between other ends where they are given.

    Raises Refusal for a line, a terminal or a join that does not exist, and for points beyond the file's limits.
    """
    lines = document.layout.lines
    if line not in {one.name for one in lines}:
        raise Refusal("layout.lines", msg("there is no line {line}", line=line[:40]), msg("a line of this layout"))
    changed = tuple(
        one.model_copy(
            update={
                "start": start if start is not None else one.start,
                "end": end if end is not None else one.end,
                "via": tuple((float(x), float(y)) for x, y in via),
            }
        )
        if one.name == line
        else one
        for one in lines
    )
    redrawn = document.with_layout(document.layout.model_copy(update={"lines": changed}))
    # Through the file, so that what is typed here is held to the same limits as a file.
    return project_file.read(project_file.write(redrawn))


def check_sewn(document: Document, lines_done: Collection[str]) -> Report:
    """What is wrong with what is sewn so far, and nothing of what is still to sew.

    A connection counts as open, and a part as the wrong way round, only once every line that the document plans for
    it is sewn.
    """
    rules = [rule for rule in RULES if rule.id in REAL]
    report = check(sewn_so_far(document, lines_done), rules)
    laid = lay_out(document)
    meant_for = line_connections(laid)
    waiting = {connection for line, connection in meant_for.items() if line not in lines_done}
    unsewn = {one.name for one in laid.project.connections if one.name not in meant_for.values()}
    real = tuple(one for one in report.findings if _is_real(one, laid.project, meant_for, waiting | unsewn))
    return Report(real, report.crashed, report.sewn)


def _is_real(finding: Finding, project: Project, meant_for: Mapping[str, str], unfinished: Collection[str]) -> bool:
    if finding.rule not in NEEDS_ALL:
        return True
    refs = set(finding.parts)
    own = {
        one.name for one in project.connections if any(terminal.partition(".")[0] in refs for terminal in one.terminals)
    }
    own.update(finding.connections, (meant_for.get(line, "") for line in finding.lines))
    return not own & set(unfinished)
