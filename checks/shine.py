"""How a part works in one situation, in a word, and what a situation is called for people.

Below the project's `dark_amps` a light is dark, below `dim_amps` dim; above its `max_amps` it is too bright.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from checks.direction import part_nodes
from checks.findings import Situation
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Controller, Led, Load
from projects.circuit.project import Settings
from projects.circuit.text import Message, msg

__all__ = [
    "AtWork",
    "Shine",
    "choice_words",
    "choices_of",
    "full_on",
    "glow",
    "shine",
    "situation_words",
    "working_parts",
]

Shine = Literal["dark", "dim", "lit", "bright", "on", "off"]


@dataclass(frozen=True)
class AtWork:
    """A light, load or controller in one situation: amps through it, volts across it, and how it works."""

    ref: str
    amps: float
    volts: float | None
    shine: Shine
    share: float


def shine(amps: float, max_amps: float, settings: Settings) -> Shine:
    """How a light with `amps` through it looks.

    >>> [shine(amps, 0.02, Settings()) for amps in (0.0, 0.0005, 0.002, 0.03)]
    ['dark', 'dim', 'lit', 'bright']
    """
    if amps < settings.dark_amps:
        return "dark"
    if amps < settings.dim_amps:
        return "dim"
    return "lit" if amps <= max_amps else "bright"


def glow(amps: float, max_amps: float, settings: Settings) -> float:
    """Share of full light, 0 to 1, as an eye sees it: equal ratios of amps are equal steps.

    >>> glow(0.0, 0.02, Settings()), glow(0.02, 0.02, Settings())
    (0.0, 1.0)
    """
    least = min(settings.dark_amps, max_amps / 2)
    if amps < least:
        return 0.0
    return min(1.0, 0.1 + 0.9 * math.log(amps / least) / math.log(max_amps / least))


def working_parts(laid_out: LaidOut, situation: Situation) -> Iterator[AtWork]:
    """Lights, loads and controllers, in the order of parts; none where the circuit has no solution."""
    settings = laid_out.project.settings
    for part in laid_out.project.parts:
        part_type = laid_out.types[part.ref]
        model, amps = part_type.model, situation.amps.get(part.ref)
        if amps is None or not isinstance(model, Led | Load | Controller):
            continue
        plus, minus = (situation.volts.get(end) for end in part_nodes(laid_out, part.ref))
        volts = plus - minus if plus is not None and minus is not None else None
        if isinstance(model, Led):
            state, share = shine(amps, model.max_amps, settings), glow(amps, model.max_amps, settings)
            yield AtWork(part.ref, amps, volts, state, share)
        else:
            works = volts is not None and abs(volts) >= model.min_volts
            yield AtWork(part.ref, amps, volts, "on" if works else "off", 0.0)


def full_on(situations: tuple[Situation, ...]) -> Situation | None:
    """The fresh situation in which most flows out of the cell; None without situations."""
    fresh = [one for one in situations if one.cell == "fresh"]
    return max(fresh, key=lambda one: max((abs(amps) for amps in one.amps.values()), default=0.0), default=None)


def choices_of(situation: str) -> dict[str, str]:
    """What a situation sets, by switch, sensor or pin: `S1=on, M1.a2=high, fresh` → S1 on, M1.a2 high."""
    *choices, _ = situation.split(", ")
    return dict(choice.split("=", 1) for choice in choices)


def choice_words(laid_out: LaidOut, choices: Mapping[str, str]) -> list[Message]:
    """Choices for people, a controller's pins of one state together: `M1 (4, 5) on`, `R1 dark`.

    An output that is high is on; one that is low is off.
    """
    together: dict[tuple[str, str], list[str]] = {}
    for what, setting in choices.items():
        ref, dot, _ = what.partition(".")
        together.setdefault((ref, setting), []).extend([laid_out.label(what)] if dot else [])
    return [
        msg("{part} ({holes}) {state}", part=ref, holes=", ".join(holes), state=_PIN_STATES[setting])
        if holes
        else msg("{part} {state}", part=ref, state=setting)
        for (ref, setting), holes in together.items()
    ]


_PIN_STATES = {"high": msg("on"), "low": msg("off")}


def situation_words(laid_out: LaidOut, situation: str) -> list[Message]:
    """The situation of that name for people, piece by piece: "S1 on", "M1 (2) on", "new battery"."""
    cell = msg("new battery") if situation.split(", ")[-1] == "fresh" else msg("old battery")
    return [*choice_words(laid_out, choices_of(situation)), cell]
