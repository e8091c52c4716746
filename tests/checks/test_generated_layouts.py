"""2,000 generated layouts with known truth: nothing to put right on the sound ones, no fault missed on the others.

What is true comes from how a layout was made, and from a slow measurement with shapely; neither calls the checker.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable

import pytest

from checks.engine import check
from checks.findings import Report
from projects.circuit.fabric import lay_out
from tests.generated.draft import Draft
from tests.generated.faults import FAULTS, Fault, near_miss
from tests.generated.schemes import SCHEMES, sound
from tests.generated.truth import Truth, clearance, truth

BLOCK = 50
SOUND_BLOCKS = range(16)
FAULT_BLOCKS = range(6)

LOOKS_OF_GEOMETRY = {"too-close", "over-part", "unanchored", "stray", "fold-touch", "input-idle"}
"""Looks that a sound layout has no cause for; how bright a light is, and how long a line, depends on what is drawn."""


@pytest.mark.parametrize("block", SOUND_BLOCKS)
def test_nothing_to_put_right_on_sound_layouts(block: int) -> None:
    wrong = []
    for seed in range(block * BLOCK, (block + 1) * BLOCK):
        draft = sound(seed)
        assert truth(draft) == Truth(frozenset(), frozenset(), frozenset()), seed
        assert clearance(draft) >= draft.project["spacing"], seed
        report = check(draft.document())
        wrong += [(seed, draft.scheme, rule) for rule in report.crashed]
        wrong += [
            (seed, draft.scheme, str(finding.text))
            for finding in report.findings
            if finding.level == "stop"
            or finding.rule in LOOKS_OF_GEOMETRY
            or (finding.rule == "long-run" and not any(_is_long(draft, line) for line in finding.lines))
        ]
        if report.sewn != _intended(draft):
            wrong.append((seed, draft.scheme, "sewn"))
    assert wrong == []


def _is_long(draft: Draft, line: str) -> bool:
    """More than 600 mm in the hand: its path with take-up, 50 mm at the start and 150 mm at the end."""
    path = sum(abs(b - a) for a, b in itertools.pairwise(draft.course(line)))
    return path * float(draft.project["thread"]["take_up"]) + 200.0 > 600.0


def _intended(draft: Draft) -> tuple[tuple[str, ...], ...]:
    """The circuit's connections as groups of terminals, with terminals joined inside parts."""
    nets = {end: frozenset(ends) for ends in draft.connections.values() for end in ends}
    groups = {frozenset(nets.get(end, frozenset((end,))) | set(names)) for names in draft.joined() for end in names}
    return tuple(sorted(tuple(sorted(group)) for group in {*nets.values(), *groups} if len(group) > 1))


@pytest.mark.parametrize("block", FAULT_BLOCKS)
@pytest.mark.parametrize("rule", FAULTS)
def test_no_fault_is_missed(rule: str, block: int) -> None:
    wrong = []
    for seed in range(10_000 + block * BLOCK, 10_000 + (block + 1) * BLOCK):
        inject = FAULTS[rule][seed // len(SCHEMES) % len(FAULTS[rule])]
        fault = inject(sound(seed), random.Random(seed))
        report = check(fault.draft.document())
        problem = "crashed" if report.crashed else _JUDGES[rule](fault, truth(fault.draft), report)
        if rule != "reversed" and any(finding.rule == "reversed" for finding in report.findings):
            problem = problem or "said to be the wrong way round"
        if problem:
            wrong.append((seed, fault.draft.scheme, fault.kind, problem))
    assert wrong == []


def _open(fault: Fault, true: Truth, report: Report) -> str:
    """Exactly the connections that are apart are named, and nothing is said to touch."""
    assert fault.connections <= true.opens
    if _opens(report) != true.opens:
        return f"open: {_opens(report)}, not {true.opens}"
    return "short" if _shorts(report) else ""


def _short(fault: Fault, true: Truth, report: Report) -> str:
    """The two connections are named as one pair, with a line at fault; no pair is named that is not joined."""
    pair = tuple(sorted(fault.connections))
    assert pair in true.shorts
    named = [
        finding for finding in report.findings if finding.rule == "short" and set(pair) == set(finding.connections)
    ]
    if len(named) != 1 or not fault.lines & set(named[0].lines):
        return f"{pair} named {len(named)} times"
    return "" if _shorts(report) <= true.shorts else f"short: {_shorts(report) - true.shorts} are not joined"


def _under_part(fault: Fault, true: Truth, report: Report) -> str:
    """Exactly the lines that run beneath bodies are named, each with the part."""
    found = _unders(report)
    assert {(line, part) for line in fault.lines for part in fault.parts} <= true.under
    return "" if found == true.under else f"under-part: {found}, not {true.under}"


def _reversed(fault: Fault, true: Truth, report: Report) -> str:
    """The parts that were turned are named, alone: neither the opens nor the shorts that come of it."""
    assert true.opens
    assert true.shorts
    found = {part for one in report.findings if one.rule == "reversed" for part in one.parts}
    certain = "B1" not in fault.parts
    if not found or not found <= fault.parts or (certain and found != fault.parts):
        return f"reversed: {found}, not {set(fault.parts)}"
    return f"also open {_opens(report)}, short {_shorts(report)}" if _opens(report) or _shorts(report) else ""


def _opens(report: Report) -> frozenset[str]:
    return frozenset(one.connections[0] for one in report.findings if one.rule == "open")


def _unders(report: Report) -> frozenset[tuple[str, str]]:
    return frozenset((one.lines[0], one.parts[0]) for one in report.findings if one.rule == "under-part")


def _shorts(report: Report) -> frozenset[tuple[str, str]]:
    pairs = (sorted(one.connections) for one in report.findings if one.rule == "short")
    return frozenset((first, second) for first, second in pairs)


_JUDGES: dict[str, Callable[[Fault, Truth, Report], str]] = {
    "open": _open,
    "short": _short,
    "under-part": _under_part,
    "reversed": _reversed,
}


@pytest.mark.parametrize("block", range(4))
def test_what_only_just_touches_and_what_only_just_does_not(block: int) -> None:
    """Lines led to within a tenth of a millimetre of touching: found wherever they touch, and nowhere else."""
    wrong = []
    for seed in range(50_000 + block * BLOCK, 50_000 + (block + 1) * BLOCK):
        draft = near_miss(sound(seed), random.Random(seed))
        report, true = check(draft.document()), truth(draft)
        if report.crashed or _opens(report) or not _shorts(report) <= true.shorts:
            wrong.append((seed, draft.scheme, "said to be open or short", _opens(report), _shorts(report)))
        if bool(_shorts(report)) != bool(true.shorts):
            wrong.append((seed, draft.scheme, "short", _shorts(report), true.shorts))
        if any(finding.rule == "reversed" for finding in report.findings):
            wrong.append((seed, draft.scheme, "reversed"))
        if _unders(report) != true.under:
            wrong.append((seed, draft.scheme, "under-part", _unders(report), true.under))
    assert wrong == []


def test_the_same_seed_gives_the_same_layout() -> None:
    assert [sound(seed).document() for seed in range(12)] == [sound(seed).document() for seed in range(12)]


def test_the_draft_and_the_file_agree_where_everything_lies() -> None:
    """The generator's own arithmetic against the project's: two ways of working out one thing."""
    for seed in range(60):
        draft = sound(seed)
        laid_out = lay_out(draft.document())
        for end, spot in laid_out.spots.items():
            assert abs(complex(spot.x, spot.y) - draft.spot(end)) < 1e-9
            assert spot.piece == draft.piece_of(end)
