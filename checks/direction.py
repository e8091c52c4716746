"""Which way current runs: the netlist of a sewn graph with plain resistors alone, in one state of its switches.

Nodes are those of the sewn graph; elements are named after what they stand for: `thread s1 2`, `contact 0`, `L1`,
`S1 0`, `M1.a2`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from checks.netlist import Element, Netlist, Resistor, Source
from checks.sewn import SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Cell, Controller, Led, Load, PartType, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel

__all__ = ["PULL_UP_OHMS", "TEST_LIGHT_OHMS", "State", "direction_netlist", "part_nodes", "thread_ohms"]

PULL_UP_OHMS = 35_000.0
TEST_LIGHT_OHMS = 1_000.0
"""What stands in for a light where only the direction of its current counts."""


@dataclass(frozen=True)
class State:
    """Switch positions and sensor levels by part ref, and whether all outputs are high."""

    positions: Mapping[str, str] = field(default_factory=dict)
    levels: Mapping[str, str] = field(default_factory=dict)
    high: bool = False


def part_nodes(laid_out: LaidOut, ref: str) -> tuple[str, str]:
    """The two nodes of a part: its positive and its negative side, else its first two groups of terminals."""
    part_type = laid_out.types[ref]
    sides = (part_type.with_role("positive"), part_type.with_role("negative"))
    first, second = (side[0] for side in (sides if all(sides) else part_type.groups()[:2]))
    return f"{ref}.{first}", f"{ref}.{second}"


def thread_ohms(sewn: SewnGraph) -> Iterator[Resistor]:
    """Every stretch of thread, contact and inner joint of the sewn graph as a resistor.

    A stretch has its share of the line's ohms, and `contact_ohms` more where it ends on a terminal.
    """
    thread = sewn.laid_out.project.thread
    ohms_per_mm = thread.ohms_per_metre / 1000 * thread.take_up / thread.strands
    for number, (first, second, edge) in enumerate(sewn.graph.edges(data=True)):
        if edge["kind"] == "thread":
            anchors = sum(node in sewn.laid_out.spots for node in (first, second))
            ohms = edge["length_mm"] * ohms_per_mm + anchors * thread.contact_ohms
            yield Resistor(f"thread {edge['line']} {number}", first, second, ohms)
        elif edge["kind"] == "contact":
            yield Resistor(f"contact {number}", first, second, thread.crossing_ohms)
        else:
            yield Resistor(f"joined {number}", first, second, 0.0)


def direction_netlist(sewn: SewnGraph, state: State, swapped: frozenset[str] = frozenset()) -> Netlist:
    """The netlist with plain resistors alone: 1 kilohm for each light, and what a controller draws at its least volts.

    Parts in `swapped` are taken with their positive and negative side exchanged.
    """
    elements: list[Element] = list(thread_ohms(sewn))
    laid_out = sewn.laid_out
    for part in laid_out.project.parts:
        part_type = laid_out.types[part.ref]
        if isinstance(part_type.model, Switch):
            elements += switch_resistors(part_type, part.ref, state.positions.get(part.ref, ""))
        elif len(part_type.groups()) > 1:
            nodes = part_nodes(laid_out, part.ref)
            elements += _part(laid_out, part.ref, nodes[::-1] if part.ref in swapped else nodes, state)
    return Netlist(tuple(elements))


def switch_resistors(part_type: PartType, ref: str, position: str) -> Iterator[Resistor]:
    """The contacts that a switch closes in a position, as zero ohms."""
    if isinstance(part_type.model, Switch):
        joins = next((one.joins for one in part_type.model.positions if one.name == position), ())
        for number, (first, second) in enumerate(joins):
            yield Resistor(f"{ref} {number}", f"{ref}.{first}", f"{ref}.{second}", 0.0)


def _part(laid_out: LaidOut, ref: str, nodes: tuple[str, str], state: State) -> Iterator[Element]:
    model = laid_out.types[ref].model
    match model:
        case Cell():
            yield Source(ref, *nodes, model.volts, model.ohms)
        case Led():
            yield Resistor(ref, *nodes, TEST_LIGHT_OHMS)
        case ResistorModel() | Load():
            yield Resistor(ref, *nodes, model.ohms)
        case Sensor():
            level = next((one for one in model.levels if one.name == state.levels.get(ref)), model.levels[0])
            yield Resistor(ref, *nodes, level.ohms)
        case Controller():
            yield Resistor(ref, *nodes, model.min_volts / model.amps)
            yield from _pins(laid_out, ref, model, nodes, state)


def _pins(laid_out: LaidOut, ref: str, model: Controller, nodes: tuple[str, str], state: State) -> Iterator[Element]:
    for terminal, use in laid_out.project.pins.items():
        if terminal.partition(".")[0] != ref:
            continue
        if use in ("output", "fade"):
            yield Resistor(terminal, nodes[0] if state.high else nodes[1], terminal, model.pin_ohms)
        elif use == "input-pull-up":
            yield Resistor(terminal, nodes[0], terminal, PULL_UP_OHMS)
