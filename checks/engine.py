"""Run all rules on a document."""

from __future__ import annotations

import logging
from collections.abc import Sequence

from checks.facts import Facts
from checks.findings import Finding, Report, Situation
from checks.rules import RULES, Rule
from projects.circuit.document import Document

__all__ = ["check"]

_log = logging.getLogger(__name__)

_CAUSES = frozenset({"dead-short", "not-placed", "loose-end", "short", "reversed", "open"})
"""One cause, one finding: while one of these stands, what the working circuit does only follows from it."""


def check(document: Document, rules: Sequence[Rule] = RULES) -> Report:
    """All that the rules find in a layout. The document must have passed `project_file.read`.

    A rule that raises is logged and named in `crashed`: the report is then incomplete and does not pass, and
    what the other rules found stays. Rules of the working circuit are left out while an earlier rule found a cause.
    """
    facts = Facts(document)
    findings: list[Finding] = []
    crashed: list[str] = []
    for rule in rules:
        if rule.working and any(finding.rule in _CAUSES for finding in findings):
            continue
        try:
            # A list first: a rule that fails half-way hides nothing and adds nothing.
            findings += list(rule.check(facts))
        except Exception:
            _log.exception("rule %s crashed", rule.id)
            crashed.append(rule.id)
    situations, all_of_them = _situations(facts, crashed)
    return Report(tuple(findings), tuple(crashed), _sewn(facts), situations, all_of_them)


def _situations(facts: Facts, crashed: list[str]) -> tuple[tuple[Situation, ...], bool]:
    """The working circuit, and whether in all situations; where it can not be solved the report is not complete."""
    try:
        found = tuple(solved.situation for solved in facts.situations.solved)
        return found, facts.situations.all_of_them
    except Exception:
        _log.exception("the situations can not be solved")
        crashed.append("situations")
        return (), True


def _sewn(facts: Facts) -> tuple[tuple[str, ...], ...]:
    """What is joined; nothing where even that can not be told, and then rules crashed too."""
    try:
        return facts.sewn.sewn()
    except Exception:
        _log.exception("the sewn graph can not be made")
        return ()
