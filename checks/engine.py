"""Run all rules on a document."""

from __future__ import annotations

import logging
from collections.abc import Sequence

from checks.facts import Facts
from checks.findings import Finding, Report
from checks.rules import RULES, Rule
from projects.circuit.document import Document

__all__ = ["check"]

_log = logging.getLogger(__name__)


def check(document: Document, rules: Sequence[Rule] = RULES) -> Report:
    """All that the rules find in a layout. The document must have passed `project_file.read`.

    A rule that raises is logged and named in `crashed`: the report is then incomplete and does not pass, and
    what the other rules found stays.
    """
    facts = Facts(document)
    findings: list[Finding] = []
    crashed: list[str] = []
    for rule in rules:
        try:
            # A list first: a rule that fails half-way hides nothing and adds nothing.
            findings += list(rule.check(facts))
        except Exception:
            _log.exception("rule %s crashed", rule.id)
            crashed.append(rule.id)
    return Report(tuple(findings), tuple(crashed), _sewn(facts))


def _sewn(facts: Facts) -> tuple[tuple[str, ...], ...]:
    """What is joined; nothing where even that can not be told, and then rules crashed too."""
    try:
        return facts.sewn.sewn()
    except Exception:
        _log.exception("the sewn graph can not be made")
        return ()
