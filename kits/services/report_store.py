"""A report as a submission keeps it: JSON that gives back the very same value, Messages included.

Not the `tieoff-report/1` of the commands, whose texts are said in one language already.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from checks.findings import Finding, Report, Situation
from projects.circuit.fabric import Spot
from projects.circuit.text import Message

__all__ = ["report_from", "report_json"]

Json = dict[str, Any]
_NAMES = ("parts", "lines", "connections", "terminals", "situations")


def report_json(report: Report) -> Json:
    """The report as JSON values, for a JSONField."""
    return {
        "findings": [_finding_json(finding) for finding in report.findings],
        "crashed": list(report.crashed),
        "sewn": [list(group) for group in report.sewn],
        "situations": [asdict(situation) for situation in report.situations],
        "all_situations": report.all_situations,
    }


def report_from(stored: Json) -> Report:
    """The report that a JSONField holds."""
    return Report(
        findings=tuple(_finding_from(finding) for finding in stored["findings"]),
        crashed=tuple(stored["crashed"]),
        sewn=tuple(tuple(group) for group in stored["sewn"]),
        situations=tuple(Situation(**situation) for situation in stored["situations"]),
        all_situations=stored.get("all_situations", True),
    )


def _finding_json(finding: Finding) -> Json:
    return {
        "rule": finding.rule,
        "level": finding.level,
        "text": _message_json(finding.text),
        "fix": _message_json(finding.fix),
        "at": [[spot.piece, spot.x, spot.y] for spot in finding.at],
        **{name: list(getattr(finding, name)) for name in _NAMES},
    }


def _finding_from(stored: Json) -> Finding:
    return Finding(
        rule=stored["rule"],
        level=stored["level"],
        text=_message_from(stored["text"]),
        fix=_message_from(stored["fix"]),
        at=tuple(Spot(*spot) for spot in stored["at"]),
        **{name: tuple(stored[name]) for name in _NAMES},
    )


def _message_json(message: Message) -> Json:
    return {"text": message.text, "values": {name: _value_json(value) for name, value in message.values.items()}}


def _value_json(value: object) -> object:
    if isinstance(value, Message):
        return {"message": _message_json(value)}
    return value if isinstance(value, str | int | float | bool | None) else str(value)


def _message_from(stored: Json) -> Message:
    return Message(stored["text"], {name: _value_from(value) for name, value in stored["values"].items()})


def _value_from(value: object) -> object:
    return _message_from(value["message"]) if isinstance(value, Mapping) else value
