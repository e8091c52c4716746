"""The rules, in the order in which a report lists them. One file a rule; its docstring is its guide page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.rules import (
    dead_short,
    extra_line,
    loose_end,
    not_placed,
    off_fabric,
    over_part,
    overlap,
    own_part_type,
    short,
    stray,
    too_close,
    unanchored,
    under_part,
)
from checks.rules import open as open_rule
from checks.rules import reversed as reversed_rule

__all__ = ["RULES", "Rule"]


class _RuleModule(Protocol):
    ID: str
    LEVEL: Level

    def check(self, facts: Facts) -> Iterable[Finding]: ...


@dataclass(frozen=True)
class Rule:
    """One rule: its id, which never changes, its level, and what it finds. `page` is its guide page."""

    id: str
    level: Level
    module: _RuleModule

    def check(self, facts: Facts) -> Iterable[Finding]:
        """All that this rule finds."""
        return self.module.check(facts)

    @property
    def page(self) -> str:
        return self.module.__doc__ or ""


_MODULES: tuple[_RuleModule, ...] = (
    dead_short,
    not_placed,
    off_fabric,
    overlap,
    loose_end,
    short,
    reversed_rule,
    open_rule,
    under_part,
    too_close,
    over_part,
    unanchored,
    stray,
    extra_line,
    own_part_type,
)

RULES: tuple[Rule, ...] = tuple(Rule(module.ID, module.LEVEL, module) for module in _MODULES)
