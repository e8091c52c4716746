"""What a rule says of a layout: a finding is a value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Literal

from projects.circuit.fabric import Spot
from projects.circuit.text import Message

__all__ = ["FORMAT", "Finding", "Level", "Report", "Situation", "to_json"]

FORMAT = "tieoff-report/1"

Level = Literal["stop", "look", "note"]


@dataclass(frozen=True)
class Finding:
    """One thing that a rule found.

    `text` says what is wrong and where, `fix` how to mend it, both for a learner. `at` are the places
    to mark; `lines`, `parts` … name what it is about, for lists linked to the drawing.
    """

    rule: str
    level: Level
    text: Message
    fix: Message
    at: tuple[Spot, ...] = ()
    parts: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    connections: tuple[str, ...] = ()
    terminals: tuple[str, ...] = ()
    situations: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Names this finding across two checks of one kit, so that a let-pass stays with it."""
        about = (self.parts, self.lines, self.connections, self.terminals)
        return "|".join([self.rule, *(",".join(names) for names in about)])


@dataclass(frozen=True)
class Situation:
    """One state of the working circuit: volts at terminals, amps through parts and pins, hours the cell lasts."""

    name: str
    cell: Literal["fresh", "used"]
    volts: dict[str, float | None]
    amps: dict[str, float]
    pin_amps: dict[str, float]
    hours: float | None


@dataclass(frozen=True)
class Report:
    """All that was found in one layout.

    `crashed`: ids of rules that failed; then the report is not complete, and it does not pass.
    `sewn`: groups of two or more placed terminals that are really joined. `situations`: the working circuit, solved
    on what is sewn; `all_situations` is False where there are so many that only single changes were solved.
    """

    findings: tuple[Finding, ...]
    crashed: tuple[str, ...]
    sewn: tuple[tuple[str, ...], ...]
    situations: tuple[Situation, ...] = ()
    all_situations: bool = True

    @property
    def complete(self) -> bool:
        return not self.crashed

    @property
    def passes(self) -> bool:
        """Complete, and nothing at level `stop`."""
        return self.complete and not any(finding.level == "stop" for finding in self.findings)


def to_json(report: Report, say: Callable[[Message], str] = str) -> dict[str, object]:
    """The report as JSON values, in the order of the report; `say` translates the texts."""
    return {
        "format": FORMAT,
        "pass": report.passes,
        "complete": report.complete,
        "crashed": list(report.crashed),
        "findings": [_finding_json(finding, say) for finding in report.findings],
        "sewn": [list(group) for group in report.sewn],
        "situations": [asdict(situation) for situation in report.situations],
    }


def _finding_json(finding: Finding, say: Callable[[Message], str]) -> dict[str, object]:
    return {
        "rule": finding.rule,
        "level": finding.level,
        "text": say(finding.text),
        "fix": say(finding.fix),
        "at": [asdict(spot) for spot in finding.at],
        "parts": list(finding.parts),
        "lines": list(finding.lines),
        "connections": list(finding.connections),
        "terminals": list(finding.terminals),
        "situations": list(finding.situations),
    }
