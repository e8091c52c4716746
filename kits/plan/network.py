"""All that is sewn so far as a network of resistors: what a meter reads with the cell out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import IntEnum

from checks.netlist import Netlist, Resistor
from checks.operating_point import two_terminal_ohms
from checks.sewn import SewnGraph
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Controller, Load, Sensor, Switch
from projects.circuit.part_types import Resistor as ResistorModel
from projects.circuit.sewing import Habits

__all__ = ["Fabric", "Measured", "SewnSoFar", "fabric_of"]

MOST_NODES = 300
"""A sound layout has far fewer in one component; one with more touches all over, and would take minutes to solve."""


class Corner(IntEnum):
    """The least, the expected and the greatest that everything may be; and that with anchors as poor as sound ones get.

    The contract's bounds count the spread of the thread alone; a sound anchor has up to `Habits.anchor_most_ohms`.
    """

    LOW = 0
    EXPECTED = 1
    HIGH = 2
    MOST = 3


@dataclass(frozen=True)
class Element:
    """Ohms between two nodes by corner, None where it shows a meter nothing; there once all of `lines` are sewn."""

    name: str
    a: str
    b: str
    ohms: tuple[float | None, float | None, float | None, float | None]
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fabric:
    """Everything of a layout that a meter can see, by node, sewn or not yet."""

    laid: LaidOut
    habits: Habits
    elements: Mapping[str, tuple[Element, ...]]


@dataclass(frozen=True)
class Measured:
    """Ohms between two places, leads not counted.

    `most`: as `high`, with poor anchors. `high` None: nothing joins them, or only a controller does, so that `low` is
    all one knows; `expected` and `most` are None then too. `low` None: nothing joins them at all.
    """

    low: float | None
    expected: float | None
    high: float | None
    most: float | None


def fabric_of(sewn: SewnGraph, habits: Habits) -> Fabric:
    """What a meter can see of a layout: thread, contacts, parts. The cell is out, and lights show it nothing."""
    at: dict[str, list[Element]] = {}
    for element in (*_thread(sewn, habits), *_parts(sewn.laid_out, habits)):
        for node in {element.a, element.b}:
            at.setdefault(node, []).append(element)
    return Fabric(sewn.laid_out, habits, {node: tuple(elements) for node, elements in at.items()})


@dataclass(frozen=True)
class SewnSoFar:
    """A fabric, and the names of the lines that are sewn so far."""

    fabric: Fabric
    lines: frozenset[str]
    _netlists: dict[tuple[Corner, str], Netlist | None] = field(default_factory=dict)

    def apart(self, a: str, b: str) -> bool:
        """Whether nothing joins two nodes, or only a controller does; False in a tangle, where one cannot tell."""
        netlist = self._around(a, Corner.EXPECTED)
        return a != b and netlist is not None and b not in netlist.nodes

    def measured(self, a: str, b: str) -> Measured | None:
        """Ohms between two nodes (terminals `B1.p1`, joins `@j1`); None in a tangle of more than MOST_NODES nodes."""
        netlists = [self._around(a, corner) for corner in Corner]
        solvable = [netlist for netlist in netlists if netlist is not None]
        if len(solvable) < len(netlists):
            return None
        return Measured(*(two_terminal_ohms(netlist, a, b) for netlist in solvable))

    def _around(self, node: str, corner: Corner) -> Netlist | None:
        """The netlist of all that is joined with a node, which is all that a reading depends on; None in a tangle."""
        if (corner, node) not in self._netlists:
            seen, elements = self._reach(node, corner)
            resistors = (Resistor(one.name, one.a, one.b, one.ohms[corner] or 0.0) for one in elements)
            found = Netlist(tuple(resistors), ground=node) if len(seen) <= MOST_NODES else None
            self._netlists.update({(corner, one): found for one in seen})
        return self._netlists[corner, node]

    def _reach(self, node: str, corner: Corner) -> tuple[set[str], list[Element]]:
        """Nodes joined with `node` and what joins them; stops early in a tangle."""
        seen, waiting = {node}, [node]
        found: dict[str, Element] = {}
        while waiting and len(seen) <= MOST_NODES:
            for element in self.fabric.elements.get(waiting.pop(), ()):
                if element.ohms[corner] is None or not self.lines.issuperset(element.lines):
                    continue
                found[element.name] = element
                fresh = {element.a, element.b} - seen
                seen |= fresh
                waiting.extend(fresh)
        return seen, list(found.values())


def _thread(sewn: SewnGraph, habits: Habits) -> Iterator[Element]:
    """Stretches of thread, their contacts at the terminals where lines end, where threads touch, what parts join."""
    thread = sewn.laid_out.project.thread
    per_mm = thread.ohms_per_metre * thread.take_up / thread.strands / 1000
    low, high = max(0.0, 1 - thread.tolerance), 1 + thread.tolerance
    for number, (a, b, edge) in enumerate(sewn.graph.edges(data=True)):
        if edge["kind"] == "thread":
            ohms = edge["length_mm"] * per_mm
            anchors = sum("." in end for end in (a, b))
            contacts, poor = anchors * thread.contact_ohms, anchors * max(thread.contact_ohms, habits.anchor_most_ohms)
            corners = (ohms * low + contacts, ohms + contacts, ohms * high + contacts, ohms * high + poor)
            yield Element(f"thread {number}", a, b, corners, (edge["line"],))
        elif edge["kind"] == "contact":
            yield Element(f"contact {number}", a, b, (thread.crossing_ohms,) * 4, edge["contact"].lines)
        else:
            yield Element(f"inside {number}", a, b, (0.0,) * 4)


def _parts(laid: LaidOut, habits: Habits) -> Iterator[Element]:
    """What placed parts show a meter: a switch in its first position, a sensor between its levels."""
    for part in laid.project.parts:
        part_type = laid.types[part.ref]
        model, nodes = part_type.model, [f"{part.ref}.{group[0]}" for group in part_type.groups()]
        if isinstance(model, ResistorModel | Load):
            yield Element(f"part {part.ref}", nodes[0], nodes[1], (model.ohms,) * 4)
        elif isinstance(model, Sensor):
            levels = [level.ohms for level in model.levels]
            yield Element(f"part {part.ref}", nodes[0], nodes[1], (min(levels), levels[0], max(levels), max(levels)))
        elif isinstance(model, Switch):
            for at, (a, b) in enumerate(model.positions[0].joins):
                yield Element(f"part {part.ref} {at}", f"{part.ref}.{a}", f"{part.ref}.{b}", (0.0,) * 4)
        elif isinstance(model, Controller):
            # A star: any two terminals show at least `controller_ohms`, however the others are joined outside.
            for node in nodes:
                yield Element(
                    f"part {node}", f"inside {part.ref}", node, (habits.controller_ohms / 2, None, None, None)
                )
