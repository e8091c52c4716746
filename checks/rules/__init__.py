"""The rules, in the order in which a report lists them. One file a rule; its docstring is its guide page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from checks.facts import Facts
from checks.findings import Finding, Level
from checks.rules import (
    bright,
    cover_needed,
    dead_short,
    dim,
    extra_line,
    fold_touch,
    impossible_diagram,
    input_idle,
    long_run,
    loose_end,
    never_lit,
    no_off_switch,
    not_placed,
    off_fabric,
    old_battery,
    over_current,
    over_part,
    over_volts,
    overlap,
    own_part_type,
    pin_overload,
    short,
    short_life,
    stray,
    too_close,
    unanchored,
    under_part,
    weak_supply,
    wrong_pin,
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
    """One rule: its id, which never changes, its level, and what it finds. `page` is its guide page.

    `working`: it looks at the solved circuit, and is left out while an earlier rule found why that can not work.
    """

    id: str
    level: Level
    module: _RuleModule
    working: bool = False

    def check(self, facts: Facts) -> Iterable[Finding]:
        """All that this rule finds."""
        return self.module.check(facts)

    @property
    def page(self) -> str:
        return self.module.__doc__ or ""


_SEWN: tuple[_RuleModule, ...] = (
    dead_short,
    impossible_diagram,
    wrong_pin,
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
    input_idle,
    long_run,
    fold_touch,
    extra_line,
    cover_needed,
    own_part_type,
)
_WORKING: tuple[_RuleModule, ...] = (
    over_volts,
    weak_supply,
    never_lit,
    over_current,
    pin_overload,
    bright,
    dim,
    short_life,
    no_off_switch,
    old_battery,
)

RULES: tuple[Rule, ...] = (
    *(Rule(module.ID, module.LEVEL, module) for module in _SEWN),
    *(Rule(module.ID, module.LEVEL, module, working=True) for module in _WORKING),
)
