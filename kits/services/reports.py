"""A kit's report, with what the teacher has let pass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from checks.engine import check
from checks.findings import Finding, Report
from kits.models import Kit, Submission
from kits.services.report_store import report_from
from projects.circuit.document import Document

__all__ = ["NEVER_LET_PASS", "Judged", "judge", "judge_kit", "judge_submission"]

NEVER_LET_PASS = frozenset({"dead-short"})
STILL_TO_DO = frozenset({"open", "not-placed"})


@dataclass(frozen=True)
class Judged:
    """A layout, its report, and the reasons for which findings were let pass, by their key."""

    document: Document
    report: Report
    passed: Mapping[str, str] = field(default_factory=dict)

    def is_passed(self, finding: Finding) -> bool:
        """Whether a teacher let it pass."""
        return finding.key in self.passed and finding.rule not in NEVER_LET_PASS

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What holds the kit back from sewing."""
        return tuple(found for found in self.report.findings if found.level == "stop" and not self.is_passed(found))

    @property
    def sound(self) -> bool:
        """Complete, and nothing holds it back: what may be accepted without a second thought."""
        return self.report.complete and not self.stops


def still_to_do(finding: Finding) -> bool:
    """Whether a learner who is laying out sees it as still to do, not as a fault."""
    return finding.rule in STILL_TO_DO


def judge(document: Document, passed: Mapping[str, str] | None = None) -> Judged:
    """Check a document."""
    return Judged(document, check(document), passed or {})


def judge_kit(kit: Kit) -> Judged:
    """Check the kit's layout as it is saved now."""
    return judge(kit.read(), _passed(kit))


def judge_submission(submission: Submission) -> Judged:
    """The report as it was when the layout was handed in, with what was let pass since."""
    return Judged(submission.read(), report_from(submission.report), _passed(submission.kit))


def _passed(kit: Kit) -> dict[str, str]:
    return dict(kit.let_passes.values_list("finding", "reason"))
